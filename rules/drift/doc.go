// Package drift draws a straight line through values over time, or over anything else, and says how far it can be
// trusted: bands, the place where they meet a limit, and a slope that outliers cannot turn.
//
// Numbers go in and numbers come out. x is in days where it is time; y is in any one unit, and a slope in that unit per
// unit of x. Nothing is drawn across an adjustment: [Trend] takes the points of one device and the places where its
// state was changed, and predicts from the present segment only. [Compare] reads several series of one device together.
//
// Sources: the bands and the inverse prediction Graybill and Iyer (1994), Regression Analysis, chapters 3 and 6, as in
// Greenwell and Schubert Kabban (2014), The R Journal 6(1); the calibration line NIST/SEMATECH e-Handbook 2.3.6 and
// 2.3.7; the robust slope Sen (1968), J. American Statistical Association 63, 1379–1389.
package drift
