package scan

import (
	"encoding/binary"
	"math"
)

// kind is a type of number in binary data.
type kind uint8

const (
	int8Kind kind = iota + 1
	uint8Kind
	int16Kind
	uint16Kind
	int32Kind
	uint32Kind
	int64Kind
	uint64Kind
	float32Kind
	float64Kind
)

// size is what a number takes, in bytes.
func (k kind) size() int {
	switch k {
	case int8Kind, uint8Kind:
		return 1
	case int16Kind, uint16Kind:
		return 2
	case int32Kind, uint32Kind, float32Kind:
		return 4
	default:
		return 8
	}
}

func (k kind) whole() bool { return k != float32Kind && k != float64Kind }

// number reads a number from the bytes it begins. Of 64-bit integers only the leading 53 bits are kept.
func (k kind) number(b []byte, big bool) float64 {
	switch k {
	case float32Kind:
		return float64(math.Float32frombits(uint32(k.bits(b, big))))
	case float64Kind:
		return math.Float64frombits(k.bits(b, big))
	case uint64Kind:
		return float64(k.bits(b, big))
	default:
		return float64(k.integer(b, big))
	}
}

// integer reads a number of one of the integer types; one beyond an int64 comes out negative.
func (k kind) integer(b []byte, big bool) int64 {
	u := k.bits(b, big)
	switch k {
	case int8Kind:
		return int64(int8(u))
	case int16Kind:
		return int64(int16(u))
	case int32Kind:
		return int64(int32(u))
	default:
		return int64(u)
	}
}

// bits reads as many bytes as the number takes.
func (k kind) bits(b []byte, big bool) uint64 {
	switch size := k.size(); {
	case size == 1:
		return uint64(b[0])
	case size == 2 && big:
		return uint64(binary.BigEndian.Uint16(b))
	case size == 2:
		return uint64(binary.LittleEndian.Uint16(b))
	case size == 4 && big:
		return uint64(binary.BigEndian.Uint32(b))
	case size == 4:
		return uint64(binary.LittleEndian.Uint32(b))
	case big:
		return binary.BigEndian.Uint64(b)
	default:
		return binary.LittleEndian.Uint64(b)
	}
}
