// Package sphere finds calibrated spheres in a scan and fits them: centres, diameters, distances between centres, each with
// the standard uncertainty that the scatter of the points leaves in it.
//
// The fit is geometric (orthogonal) least squares: centre c and radius r that minimise Σ w(|p − c| − r)², all weights 1 but
// for meshes, whose vertices count by the area around them. Its covariance s²(JᵀJ)⁻¹, with s² = Σf²/(n − p) and p = 4 (3 if
// the radius is fixed), takes the deviations of neighbouring points as independent. Those of a scanner are not quite, and
// errors of registration move whole spheres: neither is in the uncertainties stated here.
//
// A scan shows more than the artifact: stems, tubes, table, hands, balls of other sizes, stray points. [Extract] looks for
// the spheres in a sample of the points, judges every candidate by what a sphere must be (size, scatter, a surface that
// goes nowhere else), collects the points around those that remain from the whole scan, and fits again. Which sphere is
// which follows from the distances between them.
//
// Lengths are millimetres, micrometres where a name ends in UM, directions unit vectors. Results do not depend on the number
// of workers: sums are formed over fixed chunks and added in order.
package sphere
