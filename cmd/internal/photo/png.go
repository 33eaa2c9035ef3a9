package photo

import (
	"encoding/binary"
	"fmt"
	"hash/crc32"
)

// pngSignature begins a PNG file (ISO/IEC 15948, 5.2).
const pngSignature = "\x89PNG\r\n\x1a\n"

// pngKept are the chunks the pixels need to look the same (ISO/IEC 15948,
// clause 11; cICP, mDCV and cLLI are of its third edition, from memory).
// Texts, times, animations and chunks of a program's own are not among them.
var pngKept = map[string]bool{
	"IHDR": true, "PLTE": true, "IDAT": true, "IEND": true, "tRNS": true,
	"cHRM": true, "gAMA": true, "iCCP": true, "sBIT": true, "sRGB": true, "cICP": true, "mDCV": true, "cLLI": true,
	"bKGD": true, "hIST": true, "pHYs": true, "sPLT": true,
}

// cleanPNG drops every chunk the pixels do not need, and what lies behind the
// end. Of Exif it keeps how the picture is to be turned.
func cleanPNG(data []byte) ([]byte, error) {
	out := []byte(pngSignature)
	rest := data[len(pngSignature):]
	pixels, first := false, true
	for {
		name, chunk, err := pngChunk(rest)
		if err != nil {
			return nil, err
		}
		rest = rest[len(chunk):]
		if first != (name == "IHDR") {
			return nil, damaged("its first part, and no other, must be IHDR")
		}
		first = false
		pixels = pixels || name == "IDAT"
		switch {
		case pngKept[name]:
			out = append(out, chunk...)
		case name == "eXIf":
			if turn := orientation(chunk[8 : len(chunk)-4]); turn > 1 {
				out = putChunk(out, name, turned(turn))
			}
		case name[0]&0x20 == 0: // a capital letter: no picture without it (5.4)
			return nil, fmt.Errorf("it holds a part that plain PNG has not (%q); save it as JPEG or PNG first", name)
		}
		if name == "IEND" {
			if !pixels {
				return nil, damaged("it holds no picture")
			}
			return out, nil
		}
	}
}

// pngChunk reads one chunk, whole: length, name, data and check sum (5.3).
func pngChunk(rest []byte) (name string, chunk []byte, err error) {
	const around = 12
	if len(rest) < around {
		return "", nil, errCut
	}
	length := uint64(binary.BigEndian.Uint32(rest))
	if length+around > uint64(len(rest)) {
		return "", nil, errCut
	}
	chunk = rest[:length+around]
	sum := binary.BigEndian.Uint32(chunk[length+8:])
	if name = string(chunk[4:8]); crc32.ChecksumIEEE(chunk[4:length+8]) != sum {
		return "", nil, damaged("the check sum of its part %q is wrong", name)
	}
	return name, chunk, nil
}

// putChunk writes a chunk.
func putChunk(out []byte, name string, data []byte) []byte {
	out = binary.BigEndian.AppendUint32(out, uint32(len(data)))
	start := len(out)
	out = append(append(out, name...), data...)
	return binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(out[start:]))
}
