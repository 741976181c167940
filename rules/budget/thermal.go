package budget

// ReferenceCelsius is the reference temperature of lengths, ISO 1:2022.
const ReferenceCelsius = 20

// ThermalShiftUM returns how much longer than at 20 °C an artifact appears to a device that shares its temperature:
// r20·(α − α_d)·(T − 20), in micrometres for r20 in millimetres.
//
// alphaDevice is the coefficient of the device's material scale, 0 for a device without one (optical) and for one that
// corrects its own scale. The form is the short one; the exact form with a material scale is
// r20·((1 + α(T−20))/(1 + α_d(T−20)) − 1), and [ThermalRemainderUM] is the difference. The short form is used for judging: it is
// linear in T and α, as the budget's sensitivities are, it is exact without a material scale, and the remainder is
// under 0.1 µm for 3 m of aluminium on a steel scale at 35 °C.
//
// A device whose scale is at a temperature other than the artifact's is not covered: correct its reading first.
//
// An [*InputError] names a length below 0, a coefficient beyond ±1e-3 /K (commonly the 1e-6 forgotten), a temperature
// outside −100 … 200 °C, or anything that is no number.
func ThermalShiftUM(referenceMM, alphaArtifact, alphaDevice, celsius float64) (float64, error) {
	if err := checkThermal(referenceMM, alphaArtifact, alphaDevice, celsius); err != nil {
		return 0, err
	}
	return float64(referenceMM*1000) * (alphaArtifact - alphaDevice) * (celsius - ReferenceCelsius), nil
}

// ThermalRemainderUM returns the exact form of the shift minus the short form of [ThermalShiftUM], in micrometres:
// −r20·α_d·(α − α_d)·(T − 20)²/(1 + α_d(T − 20)). It is 0 without a material scale. Arguments and errors are those of ThermalShiftUM.
//
// The closed form is used because the difference of the two shifts would lose its digits.
func ThermalRemainderUM(referenceMM, alphaArtifact, alphaDevice, celsius float64) (float64, error) {
	if err := checkThermal(referenceMM, alphaArtifact, alphaDevice, celsius); err != nil {
		return 0, err
	}
	warmer := celsius - ReferenceCelsius
	second := alphaDevice * (alphaDevice - alphaArtifact) * warmer * warmer
	return float64(referenceMM*1000) * second / (1 + float64(alphaDevice*warmer)), nil
}

// ErrorUM returns the error of indication at 20 °C in micrometres: the reading minus the calibrated length minus the
// thermal shift, E = y − r20·(1 + (α − α_d)(T − 20)), signed. readingMM is the value the device showed, not compensated
// for temperature; the other arguments and the errors are those of [ThermalShiftUM].
//
// For a reading the device has compensated already, both coefficients are 0.
func ErrorUM(readingMM, referenceMM, alphaArtifact, alphaDevice, celsius float64) (float64, error) {
	if err := between("reading_mm", readingMM, -largest, largest, "a finite length", "check the reading"); err != nil {
		return 0, err
	}
	shiftUM, err := ThermalShiftUM(referenceMM, alphaArtifact, alphaDevice, celsius)
	if err != nil {
		return 0, err
	}
	// The two large lengths are subtracted first: their difference is exact in floating point, their product by 1000 is not.
	return float64((readingMM-referenceMM)*1000) - shiftUM, nil
}

func checkThermal(referenceMM, alphaArtifact, alphaDevice, celsius float64) error {
	return firstError(
		between("reference_mm", referenceMM, 0, largest, "a length from 0 to 1e12 mm", "state the calibrated length at 20 °C"),
		checkAlpha("alpha_artifact", alphaArtifact),
		checkAlpha("alpha_device", alphaDevice),
		between("celsius", celsius, -100, 200, "a temperature from -100 to 200 °C", "state it in degrees Celsius; coefficients near 20 °C say nothing farther out"),
	)
}

func checkAlpha(field string, alpha float64) error {
	return between(field, alpha, -1e-3, 1e-3, "an expansion coefficient within 1e-3 /K of 0", "state it in 1/K: steel is 11.5e-6")
}
