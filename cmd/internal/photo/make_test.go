package photo

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"testing"

	"github.com/stretchr/testify/require"
)

// secrets are what no cleaned picture may hold.
var secrets = []string{"59.3361", "K. Maker", "small copy", "behind the end", "GPS"}

// scene is a picture with enough in it that a shifted byte would show.
func scene() image.Image {
	m := image.NewRGBA(image.Rect(0, 0, 37, 23))
	for y := range 23 {
		for x := range 37 {
			m.Set(x, y, color.RGBA{uint8(x * 7), uint8(y * 11), uint8(x * y), 255})
		}
	}
	return m
}

func plainJPEG(t testing.TB) []byte {
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, scene(), &jpeg.Options{Quality: 90}))
	return b.Bytes()
}

func plainPNG(t testing.TB) []byte {
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, scene()))
	return b.Bytes()
}

// exif is a TIFF structure as a camera writes it: a turn, a pointer to a block
// with the place, and the place.
func exif(order binary.AppendByteOrder, turn uint16) []byte {
	head := "II*\x00"
	if order == binary.BigEndian {
		head = "MM\x00*"
	}
	b := order.AppendUint32([]byte(head), 8)
	b = order.AppendUint16(b, 2)
	for _, e := range []struct {
		tag, kind uint16
		value     uint32
	}{{0x0112, 3, 0}, {0x8825, 4, 38}} {
		b = order.AppendUint16(b, e.tag)
		b = order.AppendUint16(b, e.kind)
		b = order.AppendUint32(b, 1)
		if e.tag == 0x0112 {
			b = order.AppendUint16(order.AppendUint16(b, turn), 0)
		} else {
			b = order.AppendUint32(b, e.value)
		}
	}
	b = order.AppendUint32(b, 0)
	return append(b, "GPS 59.3361 N, K. Maker, small copy"...)
}

// segment is a segment of a JPEG file.
func segment(marker byte, payload string) []byte {
	b := binary.BigEndian.AppendUint16([]byte{0xFF, marker}, uint16(len(payload)+2))
	return append(b, payload...)
}

// behindStart puts segments behind the first two bytes of a JPEG file.
func behindStart(file []byte, segments ...[]byte) []byte {
	return append(append(bytes.Clone(file[:2]), bytes.Join(segments, nil)...), file[2:]...)
}

// grown is a JPEG file with all a camera and a program may write into one.
func grown(file []byte, turn uint16) []byte {
	jfif := "JFIF\x00\x01\x02\x01\x00\x48\x00\x48\x03\x04small copy" + string(make([]byte, 26))
	file = behindStart(file,
		segment(0xE0, jfif),
		segment(0xE0, "JFXX\x00\x10small copy"),
		append([]byte{0xFF, 0xFF}, segment(0xE1, exifHead+string(exif(binary.LittleEndian, turn)))...), // fill bytes before
		segment(0xE1, "http://ns.adobe.com/xap/1.0/\x00<x>59.3361</x>"),
		segment(0xE2, "ICC_PROFILE\x00\x01\x01profile"),
		segment(0xE2, "MPF\x00small copy"),
		segment(0xED, "Photoshop 3.0\x00K. Maker"),
		segment(0xFE, "K. Maker"),
	)
	return append(file, "behind the end: \xff\xd8 small copy"...)
}

// chunk is a chunk of a PNG file.
func chunk(name, data string) []byte { return putChunk(nil, name, []byte(data)) }

// behindHeader puts chunks behind the header of a PNG file.
func behindHeader(file []byte, chunks ...[]byte) []byte {
	const header = 8 + 25
	return append(append(bytes.Clone(file[:header]), bytes.Join(chunks, nil)...), file[header:]...)
}

// progressive is a grey JPEG file of 16 by 8 in two scans: the upper bits of
// each block's mean, then its lowest bit (ISO/IEC 10918-1, annex G).
func progressive() []byte {
	bits := func(text string) []byte { // padded with ones (F.1.2.3)
		for len(text)%8 != 0 {
			text += "1"
		}
		var b []byte
		for i := 0; i < len(text); i += 8 {
			var v byte
			for _, c := range text[i : i+8] {
				v = v<<1 | byte(c-'0')
			}
			b = append(b, v)
		}
		return b
	}
	quant := "\x00" + string(bytes.Repeat([]byte{8}, 64))
	// Two codes of the lengths 1 and 2: 0 for size 3, 10 for size 4.
	codes := "\x00\x01\x01" + string(make([]byte, 14)) + "\x03\x04"
	file := []byte{0xFF, 0xD8}
	file = append(file, segment(0xDB, quant)...)
	file = append(file, segment(0xC2, "\x08\x00\x08\x00\x10\x01\x01\x11\x00")...)
	file = append(file, segment(0xC4, codes)...)
	file = append(file, segment(0xDA, "\x01\x01\x00\x00\x00\x01")...)    // means, all bits but the lowest
	file = append(file, bits("0"+"101"+"10"+"1000")...)                  // +5, then +8 more
	file = append(file, segment(0xFE, "K. Maker, between two scans")...) // a comment may stand here too
	file = append(file, segment(0xDA, "\x01\x01\x00\x00\x00\x10")...)    // the lowest bit
	file = append(file, bits("10")...)
	return append(file, 0xFF, 0xD9)
}
