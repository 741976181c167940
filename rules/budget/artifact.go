package budget

import "math"

// CalibratedLength is what the uncertainty of a length's or a size's test value rests on: a length between two features
// of an artifact, or the diameter of a sphere, with its certificate and its temperature.
type CalibratedLength struct {
	ReferenceMM float64 // calibrated length at 20 °C

	CertificateUM     float64 // expanded uncertainty of the certificate
	CertificateFactor float64 // its k

	AlphaArtifact  float64 // expansion coefficient, 1/K
	AlphaArtifactU float64 // its standard uncertainty, 1/K
	AlphaDevice    float64 // coefficient of the device's material scale, 0 without one

	Celsius  float64 // temperature of the artifact
	CelsiusU float64 // its standard uncertainty, K; 0 if the reading was not corrected by this temperature
}

// Components returns the three parts that every calibrated length has: the certificate, the expansion coefficient and
// the temperature. The caller appends what else was declared: alignment (nothing between two sphere centres), fixture, drift.
//
// The sensitivities are the derivatives of the error [ErrorUM] forms: −L·(T − 20) for the coefficient and −L·(α − α_d) for the
// temperature. With a material scale only the difference of the coefficients is left of the temperature's effect, as both are
// taken to share one temperature; how far artifact and scale may differ is a part of its own with sensitivity L·α_d, to be
// declared. So is the uncertainty of α_d, with L·(T − 20), where the correction is the user's and not the device's.
// Degrees of freedom are infinite: U at a stated k, and judgements taken as certain.
//
// An [*InputError] names an input that cannot be used. Source: ISO 14253-5:2015 and ISO/TS 23165:2006, from memory.
func (l CalibratedLength) Components() ([]Component, error) {
	err := firstError(
		checkThermal(l.ReferenceMM, l.AlphaArtifact, l.AlphaDevice, l.Celsius),
		notNegative("certificate_um", l.CertificateUM),
		factor("certificate_factor", l.CertificateFactor),
		between("alpha_artifact_u", l.AlphaArtifactU, 0, 1e-3, "a standard uncertainty from 0 to 1e-3 /K", "state it in 1/K"),
		between("celsius_u", l.CelsiusU, 0, 100, "a standard uncertainty from 0 to 100 K", "state it in kelvin, without a sign"),
	)
	if err != nil {
		return nil, err
	}
	referenceUM := l.ReferenceMM * 1000
	return []Component{
		{
			Name: "calibration", U: l.CertificateUM / l.CertificateFactor, Sensitivity: 1, DegreesOfFreedom: math.Inf(1),
			Source: "certificate of the artifact, U/k",
		},
		{
			Name: "expansion coefficient", U: l.AlphaArtifactU, Sensitivity: -referenceUM * (l.Celsius - ReferenceCelsius), DegreesOfFreedom: math.Inf(1),
			Source: "declared for the artifact, times length and distance from 20 °C",
		},
		{
			Name: "temperature", U: l.CelsiusU, Sensitivity: -referenceUM * (l.AlphaArtifact - l.AlphaDevice), DegreesOfFreedom: math.Inf(1),
			Source: "declared for the check, times length and coefficient, less the device's own",
		},
	}, nil
}

// CalibratedForm is what the uncertainty of a probing form test value rests on: a sphere's certified form deviation F.
type CalibratedForm struct {
	FormUM            float64 // F, 0 or more
	CertificateUM     float64 // expanded uncertainty of F
	CertificateFactor float64 // its k
}

// Components returns F/2 and the standard uncertainty of F, both with infinite degrees of freedom: the sphere's own form
// adds to the deviations measured on it to an extent that depends on where it was touched. Lengths do not enter and
// temperature does not either, as a sphere warms evenly.
//
// An [*InputError] names an input that cannot be used. Source: ISO 14253-5:2015 and ISO/TS 23165:2006, from memory.
func (f CalibratedForm) Components() ([]Component, error) {
	err := firstError(
		notNegative("form_um", f.FormUM),
		notNegative("certificate_um", f.CertificateUM),
		factor("certificate_factor", f.CertificateFactor),
	)
	if err != nil {
		return nil, err
	}
	return []Component{
		{
			Name: "form of the sphere", U: f.FormUM / 2, Sensitivity: 1, DegreesOfFreedom: math.Inf(1),
			Source: "certified form deviation, half of it",
		},
		{
			Name: "calibration of the form", U: f.CertificateUM / f.CertificateFactor, Sensitivity: 1, DegreesOfFreedom: math.Inf(1),
			Source: "certificate of the sphere, U/k",
		},
	}, nil
}
