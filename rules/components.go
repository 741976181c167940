package rules

import (
	"fmt"

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

// certificatePart is the index of the certificate's own contribution in the
// list package budget gives.
func certificatePart(q records.Quantity) int {
	if q.OneSided() {
		return 1
	}
	return 0
}
