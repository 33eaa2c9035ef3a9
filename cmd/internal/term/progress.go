package term

import (
	"fmt"
	"io"
	"time"
)

// Progress is a line on Err that says how far a longer piece of work has come.
// It shows only on a terminal, not before the work has lasted a while, and is
// gone when the work is done.
type Progress struct {
	t           *Terminal
	title       string
	done, total int
	next        time.Time // the line isn't drawn before
	ended       bool
}

const (
	patience = 300 * time.Millisecond // work done sooner shows no progress
	interval = 100 * time.Millisecond // between two drawings
)

// eraseLine goes to the line's beginning and clears it (ECMA-48, CR and EL).
const eraseLine = "\r\x1b[K"

// Progress begins to show how a piece of work goes on, of total steps; 0 where
// the number isn't known.
func (t *Terminal) Progress(title string, total int) *Progress {
	return &Progress{t: t, title: Clean(title), total: total, next: t.Now().Add(patience)}
}

// Step counts one step as done.
func (p *Progress) Step() {
	p.t.mu.Lock()
	defer p.t.mu.Unlock()
	p.at(p.done+1, p.total)
}

// At says how many steps are done, of how many; 0 where that isn't known.
func (p *Progress) At(done, total int) {
	p.t.mu.Lock()
	defer p.t.mu.Unlock()
	p.at(done, total)
}

// Done wipes the line. What is said of the progress later is not drawn.
func (p *Progress) Done() {
	p.t.mu.Lock()
	defer p.t.mu.Unlock()
	p.ended = true
	p.t.wipe()
}

func (p *Progress) at(done, total int) {
	p.done, p.total = done, total
	if p.ended || p.t.ErrWidth <= 0 {
		return
	}
	now := p.t.Now()
	if now.Before(p.next) {
		return
	}
	p.next = now.Add(interval)
	// One column stays free: a full line would make some terminals scroll. A
	// failure to draw is of no account.
	text := measure.Truncate(p.text(), p.t.ErrWidth-1, "")
	_, _ = io.WriteString(p.t.Err, eraseLine+text)
	p.t.drawn = true
}

func (p *Progress) text() string {
	if p.total <= 0 {
		return fmt.Sprintf("%s %d", p.title, p.done)
	}
	return fmt.Sprintf("%s %d of %d", p.title, p.done, p.total)
}

// wipe takes a progress line away, for what is printed next.
func (t *Terminal) wipe() {
	if t.drawn {
		_, _ = io.WriteString(t.Err, eraseLine)
		t.drawn = false
	}
}
