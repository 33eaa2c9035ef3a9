package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/jpeg"
	"image/png"
	"math/rand/v2"
	"os"
	"path/filepath"

	"github.com/rogpeppe/go-internal/testscript"

	"stackbook/schema/source"
)

// picture makes a picture: picture jpeg|png|heic|large FILE. The first two tell
// the place they were taken at, as a telephone's do; large is one of noise that
// is too large for a book.
func picture(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: picture KIND FILE")
	}
	const words = "GPS 59.3361 N"
	var b bytes.Buffer
	small := image.NewGray(image.Rect(0, 0, 16, 9))
	switch args[0] {
	case "jpeg":
		ts.Check(jpeg.Encode(&b, small, nil))
		comment := append([]byte{0xFF, 0xFE, 0, byte(len(words) + 2)}, words...)
		b = *bytes.NewBuffer(append(append(bytes.Clone(b.Bytes()[:2]), comment...), b.Bytes()[2:]...))
	case "png":
		ts.Check(png.Encode(&b, small))
		const header = 33 // the signature and the first chunk
		text := append([]byte("tEXt"), words...)
		chunk := append(binary.BigEndian.AppendUint32(nil, uint32(len(words))), text...)
		chunk = binary.BigEndian.AppendUint32(chunk, crc32.ChecksumIEEE(text))
		b = *bytes.NewBuffer(append(append(bytes.Clone(b.Bytes()[:header]), chunk...), b.Bytes()[header:]...))
	case "heic":
		b.WriteString("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00")
	case "large":
		noise, r := image.NewGray(image.Rect(0, 0, 1700, 1300)), rand.New(rand.NewPCG(1, 2))
		for i := range noise.Pix {
			noise.Pix[i] = byte(r.Uint32())
		}
		ts.Check(png.Encode(&b, noise))
	default:
		ts.Fatalf("there is no picture %q", args[0])
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), b.Bytes(), 0o666))
}

// hashes wants every picture a record names to lie beside it with the SHA-256
// the record says: hashes changes/2026-03-02-x.yaml.
func hashes(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: hashes RECORD")
	}
	file := ts.MkAbs(args[0])
	text, err := os.ReadFile(file)
	ts.Check(err)
	doc, err := source.Parse(args[0], text)
	ts.Check(err)
	photos := doc.Root().Get("photos")
	if photos == nil || len(photos.Items()) == 0 {
		ts.Fatalf("%s names no picture", args[0])
	}
	for _, item := range photos.Items() {
		data, err := os.ReadFile(filepath.Join(filepath.Dir(filepath.Dir(file)), filepath.FromSlash(item.Get("file").Text())))
		ts.Check(err)
		if got := fmt.Sprintf("%x", sha256.Sum256(data)); got != item.Get("sha256").Text() {
			ts.Fatalf("%s has the SHA-256 %s", item.Get("file").Text(), got)
		}
	}
}
