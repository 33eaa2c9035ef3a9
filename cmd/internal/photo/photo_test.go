package photo

import (
	"bytes"
	"encoding/binary"
	"image"
	"testing"

	_ "image/jpeg"
	_ "image/png"

	"github.com/stretchr/testify/require"
)

// pixels decodes a picture.
func pixels(t testing.TB, file []byte) image.Image {
	m, _, err := image.Decode(bytes.NewReader(file))
	require.NoError(t, err)
	return m
}

// The picture is the same, pixel for pixel, and nothing that tells of its
// maker or place is left (R25).
func TestCleanKeepsThePixelsAndNothingElse(t *testing.T) {
	jpg, png := plainJPEG(t), plainPNG(t)
	for _, row := range []struct {
		name string
		file []byte
		kind Kind
	}{
		{"a plain JPEG", jpg, JPEG},
		{"a JPEG as cameras write it", grown(jpg, 1), JPEG},
		{"a JPEG that is to be turned", grown(jpg, 6), JPEG},
		{"a JPEG in several scans", grown(progressive(), 3), JPEG},
		{"a plain PNG", png, PNG},
		{"a PNG with words", append(behindHeader(png, chunk("tEXt", "Author\x00K. Maker"), chunk("zTXt", "GPS"), chunk("iTXt", "GPS"),
			chunk("eXIf", string(exif(binary.BigEndian, 8))), chunk("tIME", "\x07\xea\x03\x02\x0a\x00\x00"), chunk("prVt", "small copy")), "behind the end"...), PNG},
	} {
		t.Run(row.name, func(t *testing.T) {
			clean, kind, err := Clean(row.file)
			require.NoError(t, err)
			require.Equal(t, row.kind, kind)
			require.Equal(t, pixels(t, row.file), pixels(t, clean))
			for _, s := range secrets {
				require.NotContains(t, string(clean), s)
			}
			again, _, err := Clean(clean)
			require.NoError(t, err)
			require.Equal(t, clean, again, "a clean picture is not altered")
		})
	}
}

// What is plain already comes back byte for byte.
func TestCleanLeavesPlainPicturesAlone(t *testing.T) {
	for _, file := range [][]byte{plainJPEG(t), plainPNG(t)} {
		clean, _, err := Clean(file)
		require.NoError(t, err)
		require.Equal(t, file, clean)
	}
}

// A picture taken with the camera on its side must not lie on its side
// afterwards: of Exif the turn is kept, and only that.
func TestCleanKeepsTheTurn(t *testing.T) {
	jpg, png := plainJPEG(t), plainPNG(t)
	for turn := range uint16(10) {
		for _, order := range []binary.AppendByteOrder{binary.LittleEndian, binary.BigEndian} {
			want := 0
			if turn >= 2 && turn <= 8 {
				want = 1
			}
			clean, _, err := Clean(behindStart(jpg, segment(0xE1, exifHead+string(exif(order, turn)))))
			require.NoError(t, err)
			require.Equal(t, want, bytes.Count(clean, []byte(exifHead+string(turned(turn)))))
			require.Equal(t, want, bytes.Count(clean, []byte("Exif")))
			clean, _, err = Clean(behindHeader(png, chunk("eXIf", string(exif(order, turn)))))
			require.NoError(t, err)
			require.Equal(t, want, bytes.Count(clean, chunk("eXIf", string(turned(turn)))))
			require.Equal(t, want, bytes.Count(clean, []byte("eXIf")))
		}
		require.Equal(t, min(turn, 9)%9, orientation(turned(turn)))
	}
}

// Colours stay what they were: the profile, and how the colours are coded. The
// Adobe segment says here that no change of colours was made, so without it
// the decoder would show another picture.
func TestCleanKeepsTheColours(t *testing.T) {
	file := behindStart(plainJPEG(t), segment(0xEE, "Adobe\x00\x64\x00\x00\x00\x00\x00K. Maker"), segment(0xE2, "ICC_PROFILE\x00\x01\x01profile"))
	clean, _, err := Clean(file)
	require.NoError(t, err)
	require.Equal(t, pixels(t, file), pixels(t, clean))
	require.NotEqual(t, pixels(t, plainJPEG(t)), pixels(t, clean))
	require.Contains(t, string(clean), "ICC_PROFILE\x00\x01\x01profile")
	require.NotContains(t, string(clean), "K. Maker")
	file = behindHeader(plainPNG(t), chunk("gAMA", "\x00\x00\xb1\x8f"), chunk("pHYs", "\x00\x00\x0b\x13\x00\x00\x0b\x13\x01"))
	clean, _, err = Clean(file)
	require.NoError(t, err)
	require.Equal(t, file, clean)
}

// A picture that ends anywhere before its end is told, never kept in part.
func TestCleanRefusesWhatIsCutOff(t *testing.T) {
	for _, file := range [][]byte{plainJPEG(t), progressive(), plainPNG(t)} {
		for n := range len(file) - 1 {
			_, _, err := Clean(file[:n])
			require.Error(t, err, "%d of %d bytes", n, len(file))
		}
	}
}

func TestCleanRefuses(t *testing.T) {
	jpg, png := plainJPEG(t), plainPNG(t)
	flipped := bytes.Clone(png)
	flipped[len(flipped)-30] ^= 1
	for _, row := range []struct{ name, file, says string }{
		{"nothing", "", "it is no picture"},
		{"words", "a few words", "it is no picture"},
		{"HEIC", "\x00\x00\x00\x18ftypheic\x00\x00\x00\x00", "it is of the kind HEIC; save it as JPEG or PNG first"},
		{"AVIF", "\x00\x00\x00\x18ftypavif", "it is of the kind AVIF"},
		{"a film", "\x00\x00\x00\x18ftypisom", "it is of the kind film"},
		{"WebP", "RIFF\x00\x00\x00\x00WEBPVP8 ", "it is of the kind WebP"},
		{"TIFF", "II*\x00\x08\x00\x00\x00", "it is of the kind TIFF or raw"},
		{"the other TIFF", "MM\x00*\x00\x00\x00\x08", "it is of the kind TIFF or raw"},
		{"half a JPEG", string(jpg[:len(jpg)/2]), "it is cut off before its end"},
		{"half a PNG", string(png[:len(png)/2]), "it is cut off before its end"},
		{"JPEG without a picture", "\xff\xd8\xff\xd9", "it holds no picture"},
		{"JPEG of a kind that is not plain", "\xff\xd8\xff\xf7\x00\x04ab\xff\xd9", "a part that plain JPEG has not (marker FFF7)"},
		{"JPEG with a length that cannot be", "\xff\xd8\xff\xe0\x00\x01", "the length at byte 4 cannot be"},
		{"JPEG with rubbish between its parts", string(behindStart(jpg, segment(0xFE, "x"), []byte("rubbish"))), "there is no part at byte 7"},
		{"PNG with one bit wrong", string(flipped), `the check sum of its part "IDAT" is wrong`},
		{"PNG with an unknown part it needs", string(behindHeader(png, chunk("ABCD", ""))), `a part that plain PNG has not ("ABCD")`},
		{"PNG with two headers", string(behindHeader(png, png[8:33])), "its first part, and no other, must be IHDR"},
		{"PNG without a picture", pngSignature + string(png[8:33]) + string(chunk("IEND", "")), "it holds no picture"},
	} {
		t.Run(row.name, func(t *testing.T) {
			_, _, err := Clean([]byte(row.file))
			require.ErrorContains(t, err, row.says)
		})
	}
}

// Whatever comes in, nothing breaks; what comes out is clean and stays so.
func FuzzClean(f *testing.F) {
	for _, file := range [][]byte{plainJPEG(f), grown(plainJPEG(f), 6), grown(progressive(), 3), plainPNG(f),
		behindHeader(plainPNG(f), chunk("eXIf", string(exif(binary.LittleEndian, 5))), chunk("tEXt", "x"))} {
		f.Add(file)
		f.Add(file[:len(file)/2])
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		clean, kind, err := Clean(data)
		if err != nil {
			return
		}
		again, as, err := Clean(clean)
		require.NoError(t, err)
		require.Equal(t, kind, as)
		require.Equal(t, clean, again)
	})
}
