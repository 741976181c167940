// Package residuals draws what the fit of spheres to a scan has left over, for people: a map of each sphere's seen cap,
// and the spheres in their plane with the distances between them. SVG writes it for a page or for paper, PNG for what
// takes no SVG.
//
// A [Scene] goes in, with its figures already computed: nothing is fitted or judged here. The drawing is laid out once, as a
// list of boxes, strokes, circles and labels; both writers paint that list and know nothing else, so they cannot show
// different things. The size of what is written does not grow with the number of points: residuals are averaged in cells.
//
// The map is the azimuthal equal-area projection of the cap about its middle (J. H. Lambert, 1772): a cell covers the same
// solid angle wherever it lies, so that a patch's size on paper is its share of the sphere.
package residuals
