package photo

import "encoding/binary"

// exifHead begins an Exif segment of a JPEG file (JEITA CP-3451, 4.7.2).
const exifHead = "Exif\x00\x00"

// The tag that tells how a picture is to be turned, its type and its values
// (JEITA CP-3451, 4.6.4): 1 is upright, the others turn or mirror it.
const (
	tagOrientation = 0x0112
	typeShort      = 3
	mostTurns      = 8
)

// orientation finds in a TIFF structure how the picture is to be turned; 0
// where it does not say, or cannot be read.
func orientation(tiff []byte) uint16 {
	if len(tiff) < 8 {
		return 0
	}
	var order binary.ByteOrder
	switch string(tiff[:4]) {
	case "II*\x00":
		order = binary.LittleEndian
	case "MM\x00*":
		order = binary.BigEndian
	default:
		return 0
	}
	at := uint64(order.Uint32(tiff[4:]))
	if at+2 > uint64(len(tiff)) {
		return 0
	}
	entries := tiff[at+2:]
	for range order.Uint16(tiff[at:]) {
		if len(entries) < 12 {
			return 0
		}
		if order.Uint16(entries) == tagOrientation && order.Uint16(entries[2:]) == typeShort {
			if turn := order.Uint16(entries[8:]); turn <= mostTurns {
				return turn
			}
			return 0
		}
		entries = entries[12:]
	}
	return 0
}

// turned is a TIFF structure that says how a picture is to be turned and
// nothing else: a header, one directory of one entry, and no next directory.
func turned(turn uint16) []byte {
	b := []byte("MM\x00*\x00\x00\x00\x08\x00\x01")
	b = binary.BigEndian.AppendUint16(b, tagOrientation)
	b = binary.BigEndian.AppendUint16(b, typeShort)
	b = binary.BigEndian.AppendUint32(b, 1) // one value
	b = binary.BigEndian.AppendUint16(b, turn)
	return append(b, 0, 0, 0, 0, 0, 0)
}
