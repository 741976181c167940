package rules

import (
	"fmt"
	"math"

	"plumbrule/records"
	"plumbrule/rules/budget"
)

// components lists the contributions to the uncertainty of the test value.
func (j *judging) components() ([]budget.Component, error) {
	var list []budget.Component
	var err error
	if j.quantity.OneSided() {
		list, err = budget.CalibratedForm{
			FormUM: j.certified.Value.Micrometres(), CertificateUM: j.certified.Uncertainty.Standard(), CertificateFactor: 1,
		}.Components()
	} else {
		celsiusU := 0.0
		if !j.check.Compensated {
			celsiusU = j.check.Conditions.TemperatureUncertainty.Standard()
		}
		_, expansionU := j.artifact.record.ExpansionOf(j.feature)
		list, err = budget.CalibratedLength{
			ReferenceMM: j.referenceMM, CertificateUM: j.certified.Uncertainty.Standard(), CertificateFactor: 1,
			AlphaArtifact: j.alpha, AlphaArtifactU: expansionU.Standard(), AlphaDevice: j.alphaDevice,
			Celsius: j.celsius, CelsiusU: celsiusU,
		}.Components()
	}
	if err != nil {
		return nil, err
	}
	if nu := j.certified.Uncertainty.DegreesOfFreedom(); len(list) > 0 {
		list[certificatePart(j.quantity)].DegreesOfFreedom = nu
	}
	for i := range j.procedure.Uncertainties {
		u := &j.procedure.Uncertainties[i]
		if u.Quantity != "" && u.Quantity != j.quantity {
			continue
		}
		list = append(list, budget.Component{
			Name: u.Name, U: u.Value.Standard(), Sensitivity: 1, DegreesOfFreedom: u.Value.DegreesOfFreedom(),
			Source: fmt.Sprintf("%s:%d, %s", j.procedure.File, u.Line, u.Value),
		})
	}
	return list, nil
}

// fitComponent is what the fit of the i-th value adds to the uncertainty of the
// test value; not ok where nothing is known of a fit, for form errors, whose
// uncertainty is that of the sphere's own form, and where the procedure declares
// the fit or the repeatability itself.
//
// The points scatter mostly by the device's own noise, and that is tested: a
// strict reading of ISO 14253-5:2015 and ISO/TS 23165:2006 (from memory) would
// leave it out of the test's uncertainty. It is counted all the same, once,
// because how well the points pin the sphere down is the tester's doing as much
// as the device's: how many were taken, from which sides, which were cut. The
// scatter between repeated values has the same noise in it and is never added
// besides. The share of the fit is a lower bound where neighbouring points err
// alike. A procedure that reads the standards strictly declares a contribution
// named [records.FitContribution] of u = 0 µm.
func (j *judging) fitComponent(i int) (budget.Component, bool) {
	f := j.check.FitOf(j.reading, i)
	if f == nil || f.Uncertainty.IsZero() || j.quantity.OneSided() || j.procedure.DeclaresFit(j.quantity) != nil {
		return budget.Component{}, false
	}
	return budget.Component{
		Name: records.FitContribution, U: f.Uncertainty.Standard(), Sensitivity: 1, DegreesOfFreedom: freedomOf(f),
		Source: fmt.Sprintf("%s:%d, %s, scan %d: the scatter of the points; repeatability is not added besides", j.check.File, f.Line, f.Uncertainty, f.Scan),
	}, true
}

// freedomOf returns the degrees of freedom of a fit's uncertainty: those stated;
// for a sphere its points less the four unknowns, centre and radius; otherwise
// infinite.
func freedomOf(f *records.Fit) float64 {
	nu := f.Uncertainty.DegreesOfFreedom()
	if !math.IsInf(nu, 1) || f.Points == 0 {
		return nu
	}
	return float64(f.Points - 4)
}

// certificatePart is the index of the certificate's own contribution in the
// list package budget gives.
func certificatePart(q records.Quantity) int {
	if q.OneSided() {
		return 1
	}
	return 0
}
