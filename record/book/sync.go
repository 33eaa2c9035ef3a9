package book

import (
	"errors"
	"os"
	"runtime"
	"sync"
)

// syncFiles makes sure that the named files or folders are on the disk. They
// are asked for side by side, which lets the file system write all of them in
// one or two strokes of its journal.
func syncFiles(names []string) error {
	const atOnce = 16
	work := make(chan string)
	errs := make([]error, min(atOnce, len(names)))
	var group sync.WaitGroup
	for i := range errs {
		group.Go(func() {
			for name := range work {
				errs[i] = errors.Join(errs[i], syncFile(name))
			}
		})
	}
	for _, name := range names {
		work <- name
	}
	close(work)
	group.Wait()
	return errors.Join(errs...)
}

func syncFile(name string) error {
	f, err := os.Open(name)
	if err != nil {
		return err
	}
	defer f.Close()
	if err := f.Sync(); err != nil && runtime.GOOS != "windows" {
		return err // Windows refuses to sync what is open for reading
	}
	return nil
}
