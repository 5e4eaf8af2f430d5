/** Where flow in a round pipe stops being laminar, and where it is surely turbulent (Reynolds numbers). */
const LAMINAR_BELOW = 2300;
const TURBULENT_ABOVE = 4000;

/** Viscosity of air, Pa·s, by Sutherland's law (U.S. Standard Atmosphere 1976 constants); within 2 % from −70 °C to 200 °C. */
export function airViscosity(temperature: number): number {
  return (1.458e-6 * temperature ** 1.5) / (temperature + 110.4);
}

/** Colebrook's equation solved by iteration; five rounds settle it to 1e-9 from here. */
function turbulent(reynolds: number, relativeRoughness: number): number {
  let x = -2 * Math.log10(relativeRoughness / 3.7 + 5.74 / reynolds ** 0.9);
  for (let round = 0; round < 5; round++) x = -2 * Math.log10(relativeRoughness / 3.7 + (2.51 * x) / reynolds);
  return 1 / x ** 2;
}

/**
 * Darcy friction factor: 64/Re while laminar, Colebrook (1939) once turbulent, blended between so that loss rises with
 * flow without a step.
 */
export function frictionFactor(reynolds: number, relativeRoughness: number): number {
  if (reynolds <= LAMINAR_BELOW) return 64 / reynolds;
  if (reynolds >= TURBULENT_ABOVE) return turbulent(reynolds, relativeRoughness);
  const share = (reynolds - LAMINAR_BELOW) / (TURBULENT_ABOVE - LAMINAR_BELOW);
  return (1 - share) * (64 / LAMINAR_BELOW) + share * turbulent(TURBULENT_ABOVE, relativeRoughness);
}
