package tracedrawing

// sign draws what tells a kind of step at a glance; its name stands beside it.
func (k Kind) sign(c *canvas, at point) {
	x, y := at.x, at.y
	switch k {
	case Device:
		c.circle("sign", at, 6.5)
		c.circle("dot", at, 2)
	case Check:
		c.circle("sign", at, 6.5)
		c.line("stroke", point{x - 3, y}, point{x - 0.5, y + 3}, point{x + 3.5, y - 3})
	case Artifact:
		c.line("stroke", point{x - 4, y}, point{x + 4, y})
		c.circle("sign", point{x - 5, y}, 3)
		c.circle("sign", point{x + 5, y}, 3)
	case Certificate, File:
		c.area("sign", point{x - 5, y - 7}, point{x + 2, y - 7}, point{x + 5, y - 4}, point{x + 5, y + 7}, point{x - 5, y + 7})
		if k == Certificate {
			c.line("stroke", point{x - 2.5, y - 2}, point{x + 2.5, y - 2})
			c.line("stroke", point{x - 2.5, y + 1}, point{x + 2.5, y + 1})
			c.circle("dot", point{x + 1.5, y + 4.3}, 1.3)
		}
	case Laboratory:
		c.area("sign", point{x, y - 6.5}, point{x + 7, y + 6}, point{x - 7, y + 6})
	case Standard:
		c.area("sign", point{x - 7, y - 3}, point{x + 7, y - 3}, point{x + 7, y + 3}, point{x - 7, y + 3})
		for _, dx := range []float64{-3.5, 0, 3.5} {
			c.line("stroke", point{x + dx, y - 3}, point{x + dx, y})
		}
	case Reference:
		c.circle("sign", at, 7)
		c.circle("sign", at, 4)
		c.circle("dot", at, 1.4)
	default:
		c.area("sign", point{x - 6, y - 6}, point{x + 6, y - 6}, point{x + 6, y + 6}, point{x - 6, y + 6})
	}
}
