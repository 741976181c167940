package scan

import "bytes"

// byteOrderMark begins UTF-8 text of some programs. It says nothing about the numbers and is passed over.
const byteOrderMark = "\xef\xbb\xbf"

// foreign tells what no reader here should be tried on: text in 16 or 32 bit characters, and other ways to pack.
func (in *input) foreign(start []byte) error {
	has := func(mark string) bool { return bytes.HasPrefix(start, []byte(mark)) }
	const wide = "save it as UTF-8 or plain ASCII"
	switch {
	case has("\xff\xfe\x00\x00"), has("\x00\x00\xfe\xff"):
		return in.fault(byteAt(0), wide, "the text is in UTF-32")
	case has("\xff\xfe"), has("\xfe\xff"), wideASCII(start):
		return in.fault(byteAt(0), wide, "the text is in UTF-16")
	case has("\x1f\x8b"):
		return in.fault(byteAt(0), "unpack it once", "the content is packed by gzip twice")
	}
	for _, other := range []struct{ mark, kind string }{
		{"PK\x03\x04", "ZIP archive"},
		{"BZh", "bzip2 file"},
		{"\xfd7zXZ\x00", "xz file"},
		{"\x28\xb5\x2f\xfd", "Zstandard file"},
		{"7z\xbc\xaf\x27\x1c", "7z archive"},
		{"Rar!", "RAR archive"},
	} {
		if has(other.mark) {
			return in.fault(byteAt(0), "unpack it, or pack the scan by gzip", "this is a %s", other.kind)
		}
	}
	return nil
}

// wideASCII tells whether the text, as far as it was looked at, is ASCII in 16 bit characters without a byte order mark.
func wideASCII(start []byte) bool {
	n := len(start) &^ 1
	if n < 16 {
		return false
	}
	var zeros [2]int
	for i := range n {
		if start[i] == 0 {
			zeros[i&1]++
		} else if start[i] >= 0x80 {
			return false
		}
	}
	return zeros[0] == n/2 && zeros[1] == 0 || zeros[1] == n/2 && zeros[0] == 0
}
