package residuals

// list is a drawing: what to paint, in order, on a page measured in pixels from its top left corner.
type list struct {
	width, height float64
	marks         []mark
}

// mark is one of boxes, strokes, circle and label. What it looks like is a matter of its role alone.
type mark interface{ of() role }

// boxes are filled rectangles with edges on whole pixels.
type boxes struct {
	role role
	at   []box
}

type box struct{ x, y, width, height float64 }

// strokes are straight lines.
type strokes struct {
	role role
	at   []stroke
}

type stroke struct{ x1, y1, x2, y2 float64 }

// circle is filled, drawn as a line, or both.
type circle struct {
	role    role
	x, y, r float64
}

// label is a line of text; y is that of its base line.
type label struct {
	role   role
	x, y   float64
	anchor anchor
	text   string
}

// anchor is the part of a label that stands at its x.
type anchor string

const (
	atStart  anchor = "start"
	atMiddle anchor = "middle"
	atEnd    anchor = "end"
)

func (b boxes) of() role   { return b.role }
func (s strokes) of() role { return s.role }
func (c circle) of() role  { return c.role }
func (l label) of() role   { return l.role }

func (l *list) box(r role, x, y, width, height float64) {
	l.boxes(r, []box{{x, y, width, height}})
}

func (l *list) boxes(r role, at []box) {
	if len(at) > 0 {
		l.marks = append(l.marks, boxes{r, at})
	}
}

func (l *list) line(r role, x1, y1, x2, y2 float64) {
	l.strokes(r, []stroke{{x1, y1, x2, y2}})
}

func (l *list) strokes(r role, at []stroke) {
	if len(at) > 0 {
		l.marks = append(l.marks, strokes{r, at})
	}
}

func (l *list) circle(r role, x, y, radius float64) {
	l.marks = append(l.marks, circle{r, x, y, radius})
}

// text takes any text: what could act on the page or on its reader is taken out of it here, for every label.
func (l *list) text(r role, x, y float64, a anchor, text string) {
	if text = plain(text); text != "" {
		l.marks = append(l.marks, label{r, x, y, a, text})
	}
}
