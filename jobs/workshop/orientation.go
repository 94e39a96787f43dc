package workshop

import (
	"bytes"
	"encoding/binary"
)

// orientation is how a picture is to be turned, from 1 to 8, by the Exif of a JPEG (CIPA DC-008: a marker
// APP1 that begins with "Exif") or of a PNG (a chunk eXIf); 1 where it doesn't say. Nothing else is read
// of the Exif.
func orientation(file []byte) int {
	tiff := exifOfJPEG(file)
	if tiff == nil {
		tiff = exifOfPNG(file)
	}
	if len(tiff) < 8 {
		return 1
	}
	var order binary.ByteOrder
	switch string(tiff[:4]) {
	case "II*\x00":
		order = binary.LittleEndian
	case "MM\x00*":
		order = binary.BigEndian
	default:
		return 1
	}
	at := uint64(order.Uint32(tiff[4:]))
	if at+2 > uint64(len(tiff)) {
		return 1
	}
	entries := tiff[at+2:]
	for range order.Uint16(tiff[at:]) {
		if len(entries) < 12 {
			break
		}
		const orientationTag, short = 0x0112, 3
		if order.Uint16(entries) == orientationTag && order.Uint16(entries[2:]) == short {
			if v := order.Uint16(entries[8:]); v >= 1 && v <= 8 {
				return int(v)
			}
			break
		}
		entries = entries[12:]
	}
	return 1
}

// exifOfJPEG goes from marker to marker up to the picture's data.
func exifOfJPEG(file []byte) []byte {
	rest, ok := bytes.CutPrefix(file, []byte{0xff, 0xd8})
	for ok && len(rest) >= 4 && rest[0] == 0xff {
		if rest[1] == 0xff { // a fill byte before a marker
			rest = rest[1:]
			continue
		}
		length := int(binary.BigEndian.Uint16(rest[2:]))
		if rest[1] == 0xda || length < 2 || len(rest) < 2+length {
			return nil
		}
		if tiff, found := bytes.CutPrefix(rest[4:2+length], []byte("Exif\x00\x00")); rest[1] == 0xe1 && found {
			return tiff
		}
		rest = rest[2+length:]
	}
	return nil
}

func exifOfPNG(file []byte) []byte {
	rest, ok := bytes.CutPrefix(file, []byte("\x89PNG\r\n\x1a\n"))
	for ok && len(rest) >= 12 {
		length := uint64(binary.BigEndian.Uint32(rest))
		if length+12 > uint64(len(rest)) {
			return nil
		}
		if string(rest[4:8]) == "eXIf" {
			return rest[8 : 8+length]
		}
		rest = rest[12+length:]
	}
	return nil
}
