package quantity

import (
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

func anyNumber(t *rapid.T, label string) number {
	coef := rapid.Uint64Range(0, 9999999999999999999).Draw(t, label)
	// Short numbers take the quick ways, long ones the exact ones.
	coef /= rapid.SampledFrom([]uint64{1, 1e4, 1e10, 1e16}).Draw(t, label+" shortened")
	exp := rapid.IntRange(-25, 25).Draw(t, label+" exponent")
	return newNumber(coef, exp, rapid.Bool().Draw(t, label+" negative"))
}

// Sums and products are exact wherever they fit, quotients and conversions
// are rounded once: compared with math/big.
func TestNumberArithmetic(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anyNumber(t, "a"), anyNumber(t, "b")
		if sum, ok := a.plus(b); ok && sum.rat().Cmp(new(big.Rat).Add(a.rat(), b.rat())) != 0 {
			t.Fatalf("%s + %s = %s", a, b, sum)
		}
		if product, ok := a.times(b); ok && product.rat().Cmp(new(big.Rat).Mul(a.rat(), b.rat())) != 0 {
			t.Fatalf("%s · %s = %s", a, b, product)
		}
		if want, _ := a.rat().Float64(); a.float() != want {
			t.Fatalf("%s as float64: %v, want %v", a, a.float(), want)
		}
		if b.coef == 0 {
			return
		}
		if want, _ := new(big.Rat).Quo(a.rat(), b.rat()).Float64(); a.over(b) != want {
			t.Fatalf("%s / %s = %v, want %v", a, b, a.over(b), want)
		}
	})
}

// The largest numbers do not fit the sum or the product.
func TestNumberArithmeticSaysWhenItDoesNotFit(t *testing.T) {
	large := number{coef: 9999999999999999999}
	if sum, ok := large.plus(large); ok {
		t.Errorf("sum %s", sum)
	}
	if product, ok := large.times(large); ok {
		t.Errorf("product %s", product)
	}
	if sum, ok := large.plus(number{coef: 1, exp: -30}); ok {
		t.Errorf("sum %s", sum)
	}
}
