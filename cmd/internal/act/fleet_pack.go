package act

import (
	"encoding/binary"
	"math"
	"time"

	"stackbook/diff/history"
	"stackbook/record"
	"stackbook/record/figure"
	"stackbook/schema"
)

// What is kept of a fleet, as bytes: numbers in as few as they need, texts with
// their length before them. What one version of the program writes, no other
// reads, and so nothing here needs a number of its own.

func packLinks(l *links) string {
	var p packer
	p.text(l.limits)
	for _, list := range [][]uint32{l.files, l.asked, l.told} {
		p.count(len(list))
		for _, n := range list {
			p.bytes = binary.LittleEndian.AppendUint32(p.bytes, n)
		}
	}
	return string(p.bytes)
}

func unpackLinks(text string) (l *links, ok bool) {
	u := unpacker{rest: text}
	l = &links{limits: u.text()}
	for _, list := range []*[]uint32{&l.files, &l.asked, &l.told} {
		n := u.count()
		bytes := u.take(4 * n)
		*list = make([]uint32, len(bytes)/4)
		for i := range *list {
			b := bytes[4*i:]
			(*list)[i] = uint32(b[0]) | uint32(b[1])<<8 | uint32(b[2])<<16 | uint32(b[3])<<24
		}
	}
	return l, u.done()
}

// keptVerdicts is the order in which verdicts are counted.
var keptVerdicts = [...]figure.Verdict{figure.NoVerdict, figure.Conforms, figure.Undecided, figure.Fails, figure.Unmeasured}

// packLine leaves out the number, which whoever asks knows.
func packLine(f *InFleet) string {
	var p packer
	p.count(f.Problems)
	p.flag(f.Read)
	p.text(f.Title)
	p.text(f.Customer)
	p.number(int64(f.Build))
	p.hours(f.Hours)
	p.flag(f.Verdicts != nil)
	for _, v := range keptVerdicts {
		p.count(f.Verdicts[v])
	}
	p.text(string(f.Standing))
	p.date(f.Since)
	p.text(f.Limits)
	p.hours(f.SinceDelivery)
	p.flag(f.Word != nil)
	if w := f.Word; w != nil {
		p.date(w.Date)
		for _, text := range []string{w.Kind, w.What, w.Source, w.File} {
			p.text(text)
		}
	}
	p.due(f.Due)
	return string(p.bytes)
}

func unpackLine(text, number string, today schema.Date) (f *InFleet, ok bool) {
	u := unpacker{rest: text}
	f = &InFleet{Number: number, Problems: u.count(), Read: u.flag(), Title: u.text(), Customer: u.text(), Build: int(u.number()), Hours: u.hours()}
	if u.flag() {
		f.Verdicts = make(map[figure.Verdict]int, len(keptVerdicts))
	}
	for _, v := range keptVerdicts {
		if n := u.count(); n > 0 && f.Verdicts != nil {
			f.Verdicts[v] = n
		}
	}
	f.Standing, f.Since, f.Limits, f.SinceDelivery = history.Standing(u.text()), u.date(), u.text(), u.hours()
	if u.flag() {
		f.Word = &history.Word{Date: u.date(), Kind: u.text(), What: u.text(), Source: u.text(), File: u.text()}
	}
	f.Due = u.due(today)
	return f, u.done()
}

func packDue(list []history.Due) string {
	var p packer
	p.due(list)
	return string(p.bytes)
}

func unpackDue(text string, today schema.Date) (list []history.Due, ok bool) {
	u := unpacker{rest: text}
	list = u.due(today)
	return list, u.done()
}

// packer appends values to bytes.
type packer struct{ bytes []byte }

func (p *packer) count(n int)    { p.bytes = binary.AppendUvarint(p.bytes, uint64(n)) }
func (p *packer) number(n int64) { p.bytes = binary.AppendVarint(p.bytes, n) }
func (p *packer) real(x float64) {
	p.bytes = binary.LittleEndian.AppendUint64(p.bytes, math.Float64bits(x))
}
func (p *packer) text(s string) { p.count(len(s)); p.bytes = append(p.bytes, s...) }
func (p *packer) maybe(x *float64) {
	if p.flag(x != nil); x != nil {
		p.real(*x)
	}
}

func (p *packer) flag(is bool) {
	n := byte(0)
	if is {
		n = 1
	}
	p.bytes = append(p.bytes, n)
}

func (p *packer) date(d schema.Date) {
	p.number(d.Time.Unix())
	p.count(d.Time.Nanosecond())
	p.flag(d.HasTime)
}

func (p *packer) hours(h *record.Hours) {
	if p.flag(h != nil); h == nil {
		return
	}
	p.real(h.Value)
	p.maybe(h.Error)
	p.text(h.Source)
	p.text(h.Ref.File)
	p.count(h.Ref.Line)
	p.count(h.Ref.Column)
}

func (p *packer) due(list []history.Due) {
	p.flag(list != nil)
	p.count(len(list))
	for _, d := range list {
		p.text(d.What)
		p.flag(d.At != nil)
		p.count(len(d.At))
		for _, at := range d.At {
			p.text(at)
		}
		p.text(d.Text)
		p.maybe(d.Left)
		p.flag(d.Now)
		p.text(d.File)
		if p.flag(d.Day != nil); d.Day != nil {
			p.date(*d.Day)
		}
	}
}

// unpacker takes the same values off again. Where there are fewer bytes than
// values it gives zeros, and is not done.
type unpacker struct {
	rest  string
	short bool
}

// done tells whether all bytes were taken and none were missing.
func (u *unpacker) done() bool { return !u.short && u.rest == "" }

func (u *unpacker) take(n int) string {
	if n < 0 || n > len(u.rest) {
		u.rest, u.short = "", true
		return ""
	}
	taken := u.rest[:n]
	u.rest = u.rest[n:]
	return taken
}

func (u *unpacker) uvarint() (x uint64) {
	for shift := 0; shift < 64; shift += 7 {
		b := u.take(1)
		if b == "" {
			return 0
		}
		x |= uint64(b[0]&0x7f) << shift
		if b[0] < 0x80 {
			break
		}
	}
	return x
}

func (u *unpacker) count() int { return int(u.uvarint()) }

func (u *unpacker) number() int64 {
	x := u.uvarint()
	return int64(x>>1) ^ -int64(x&1)
}

func (u *unpacker) real() float64 {
	b := u.take(8)
	if b == "" {
		return 0
	}
	return math.Float64frombits(binary.LittleEndian.Uint64([]byte(b)))
}

func (u *unpacker) text() string { return u.take(u.count()) }

func (u *unpacker) flag() bool { return u.take(1) == "\x01" }

func (u *unpacker) maybe() *float64 {
	if !u.flag() {
		return nil
	}
	x := u.real()
	return &x
}

func (u *unpacker) date() schema.Date {
	return schema.Date{Time: time.Unix(u.number(), int64(u.count())).UTC(), HasTime: u.flag()}
}

func (u *unpacker) hours() *record.Hours {
	if !u.flag() {
		return nil
	}
	return &record.Hours{Value: u.real(), Error: u.maybe(), Source: u.text(), Ref: record.Ref{File: u.text(), Line: u.count(), Column: u.count()}}
}

func (u *unpacker) due(today schema.Date) []history.Due {
	there := u.flag()
	n := u.count()
	if !there || n > len(u.rest) {
		u.short = u.short || n > 0
		return nil
	}
	list := make([]history.Due, n)
	for i := range list {
		d := history.Due{What: u.text()}
		if at := u.flag(); at {
			d.At = make([]string, 0, 4)
		}
		for range u.count() {
			if d.At = append(d.At, u.text()); u.short {
				return nil
			}
		}
		d.Text, d.Left, d.Now, d.File = u.text(), u.maybe(), u.flag(), u.text()
		if u.flag() {
			day := u.date()
			d.Day = &day
		}
		list[i] = d.On(today)
	}
	return list
}
