package bigbook_test

import (
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"stackbook/cmd/internal/act"
)

func TestProf(t *testing.T) {
	dir := os.Getenv("BOOK")
	file := dir + "/engines/2025/" + os.Getenv("ENGINE") + "/measurements/2026-01-05-mock-up-KM.yaml"
	for i := range 20 {
		data, _ := os.ReadFile(file)
		text := string(data)
		at := strings.Index(text, "housing/1/at/A: ") + len("housing/1/at/A: ")
		text = text[:at] + fmt.Sprintf("78.0%02d", (i*7+int(time.Now().Unix()))%20) + text[at+6:]
		os.WriteFile(file, []byte(text), 0o666)
		st := time.Now()
		s, err := act.Open(dir, time.Now)
		if err != nil {
			t.Fatal(err)
		}
		_, err = s.Commit(os.Getenv("ENGINE"), act.CommitOptions{Message: "x"})
		fmt.Println(time.Since(st), err)
	}
}
