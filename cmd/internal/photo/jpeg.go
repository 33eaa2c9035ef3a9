package photo

import (
	"bytes"
	"encoding/binary"
	"fmt"
)

// The markers of a JPEG file that are told apart (ISO/IEC 10918-1, table B.1).
const (
	markSOF0  = 0xC0 // to markSOF15: frames, with two kinds of table among them
	markJPG   = 0xC8 // reserved within that range
	markSOF15 = 0xCF
	markDHT   = 0xC4
	markDAC   = 0xCC
	markRST0  = 0xD0
	markRST7  = 0xD7
	markSOI   = 0xD8
	markEOI   = 0xD9
	markSOS   = 0xDA
	markDQT   = 0xDB // to markEXP: further tables and headers of the picture
	markEXP   = 0xDF
	markAPP0  = 0xE0
	markAPP1  = 0xE1
	markAPP2  = 0xE2
	markAPP14 = 0xEE
	markAPP15 = 0xEF
	markCOM   = 0xFE
)

// jpegWalk goes through a JPEG file segment by segment and writes what stays.
type jpegWalk struct {
	in            []byte
	pos           int
	out           []byte
	frame, scan   bool // a frame header, and coded pixels, were met
	exif          bool // the turn was written
	colour, units bool // an Adobe and a JFIF segment were written
}

// cleanJPEG drops every application segment and comment but what the pixels
// need, small copies of the picture and what lies behind its end among them.
func cleanJPEG(data []byte) ([]byte, error) {
	w := &jpegWalk{in: data, pos: 2, out: []byte{0xFF, markSOI}}
	for {
		marker, err := w.marker()
		if err != nil {
			return nil, err
		}
		if marker == markEOI {
			if !w.frame || !w.scan {
				return nil, damaged("it holds no picture")
			}
			return append(w.out, 0xFF, markEOI), nil
		}
		payload, err := w.segment()
		if err != nil {
			return nil, err
		}
		if err := w.take(marker, payload); err != nil {
			return nil, err
		}
	}
}

// marker reads the next marker with the fill bytes before it (B.1.1.2).
func (w *jpegWalk) marker() (byte, error) {
	if w.pos >= len(w.in) {
		return 0, errCut
	}
	if w.in[w.pos] != 0xFF {
		return 0, damaged("there is no part at byte %d", w.pos)
	}
	for w.pos < len(w.in) && w.in[w.pos] == 0xFF {
		w.pos++
	}
	if w.pos >= len(w.in) {
		return 0, errCut
	}
	w.pos++
	return w.in[w.pos-1], nil
}

// segment reads what follows a marker: a length of two bytes that counts
// itself, and the payload (B.1.1.4).
func (w *jpegWalk) segment() ([]byte, error) {
	if w.pos+2 > len(w.in) {
		return nil, errCut
	}
	length := int(binary.BigEndian.Uint16(w.in[w.pos:]))
	if length < 2 {
		return nil, damaged("the length at byte %d cannot be", w.pos)
	}
	if w.pos+length > len(w.in) {
		return nil, errCut
	}
	payload := w.in[w.pos+2 : w.pos+length]
	w.pos += length
	return payload, nil
}

// take decides what becomes of one segment.
func (w *jpegWalk) take(marker byte, payload []byte) error {
	switch {
	case marker == markSOS:
		w.put(marker, payload)
		w.scan = true
		w.pixels()
	case marker >= markAPP0 && marker <= markAPP15:
		w.application(marker, payload)
	case marker == markCOM:
	case marker >= markSOF0 && marker <= markSOF15 && marker != markJPG:
		w.frame = w.frame || marker != markDHT && marker != markDAC
		w.put(marker, payload)
	case marker >= markDQT && marker <= markEXP:
		w.put(marker, payload)
	default:
		return fmt.Errorf("it holds a part that plain JPEG has not (marker FF%02X); save it as JPEG or PNG first", marker)
	}
	return nil
}

// pixels carries coded pixels over up to the next marker; a zero byte behind
// FF and the restart markers belong to them (B.1.1.5).
func (w *jpegWalk) pixels() {
	start := w.pos
	for w.pos < len(w.in) {
		if w.in[w.pos] == 0xFF && w.pos+1 < len(w.in) {
			next := w.in[w.pos+1]
			if next != 0 && next != 0xFF && (next < markRST0 || next > markRST7) {
				break
			}
		}
		w.pos++
	}
	w.out = append(w.out, w.in[start:w.pos]...)
}

// application keeps of the application segments what the pixels need to look
// the same: the pixel's shape (JFIF 1.02), the colour profile (ICC.1, annex B),
// how the colours are coded (the Adobe segment, from memory), and the turn
// (Exif, JEITA CP-3451). Each is cut to the bytes that say so: a JFIF segment
// can hold a small copy of the picture.
func (w *jpegWalk) application(marker byte, payload []byte) {
	has := func(head string) bool { return bytes.HasPrefix(payload, []byte(head)) }
	switch {
	case marker == markAPP0 && has("JFIF\x00") && len(payload) >= 14 && !w.units:
		w.units = true
		w.put(marker, append(bytes.Clone(payload[:12]), 0, 0))
	case marker == markAPP1 && has(exifHead) && !w.exif:
		if turn := orientation(payload[len(exifHead):]); turn > 1 {
			w.exif = true
			w.put(marker, append([]byte(exifHead), turned(turn)...))
		}
	case marker == markAPP2 && has("ICC_PROFILE\x00"):
		w.put(marker, payload)
	case marker == markAPP14 && has("Adobe") && len(payload) >= 12 && !w.colour:
		w.colour = true
		w.put(marker, payload[:12])
	}
}

// put writes a segment.
func (w *jpegWalk) put(marker byte, payload []byte) {
	w.out = append(w.out, 0xFF, marker)
	w.out = binary.BigEndian.AppendUint16(w.out, uint16(len(payload)+2))
	w.out = append(w.out, payload...)
}
