// Package scan reads point clouds and the vertices of meshes from open file formats: PLY, STL, XYZ and its kin (PTS, TXT,
// CSV), PCD, OBJ and E57, each also compressed by gzip.
//
// [Open] looks at the head of a file, and [Cloud.Read] passes over its points in blocks, as often as asked. The points are
// in the file's own unit and frame; nothing is rounded, thinned or sorted. What a file claims (counts, lengths) is never
// believed before its size backs it, so no file makes the reader take more memory than its size warrants.
//
// A file that is cut, contradicts itself or cannot be told from another gives an [*Error] with its place. Nothing is
// returned of such a file, since a result from the part that could be read would look like one of the whole.
package scan
