import { needPositive, needWithin, sayCelsius, sayPressure } from '../quantity/check-input.ts';
import { type AbsolutePressure, type GaugePressure, toAbsolute } from '../quantity/pressure.ts';
import { AIR_GAS_CONSTANT, HEAT_RATIO, USUAL_TEMPERATURE } from './standard-air.ts';

/**
 * Discharge coefficient with abrasive in the stream, fitted to the published charts of blast nozzles (see
 * docs/computations.md); without abrasive a venturi nozzle passes more, 0.92 to 0.98.
 */
export const NOZZLE_COEFFICIENT = 0.8;

export interface Nozzle {
  /** m */
  readonly bore: number;
  /** In front of the nozzle. */
  readonly pressure: GaugePressure;
  readonly atmosphere: AbsolutePressure;
  /** Of the air in front of the nozzle, K; 20 °C unless given. */
  readonly temperature?: number;
  readonly coefficient?: number;
}

/** Outlet pressure over inlet pressure below which flow is choked, 0.5283 for air. */
export const CRITICAL_RATIO = (2 / (HEAT_RATIO + 1)) ** (HEAT_RATIO / (HEAT_RATIO - 1));
const CHOKED = Math.sqrt((HEAT_RATIO / AIR_GAS_CONSTANT) * (2 / (HEAT_RATIO + 1)) ** ((HEAT_RATIO + 1) / (HEAT_RATIO - 1)));

/** True while the throat runs at the speed of sound: above 13.1 psi at sea level. */
export function isChoked(pressure: GaugePressure, atmosphere: AbsolutePressure): boolean {
  return atmosphere / toAbsolute(pressure, atmosphere) <= CRITICAL_RATIO;
}

/** Mass flow through 1 m² of throat with coefficient 1, kg/(s·m²): isentropic, choked or not. */
function idealMassFlux(pressure: GaugePressure, atmosphere: AbsolutePressure, temperature: number): number {
  const inlet = toAbsolute(pressure, atmosphere);
  const ratio = atmosphere / inlet;
  const root = Math.sqrt(temperature);
  if (ratio <= CRITICAL_RATIO) return (CHOKED * inlet) / root;
  const g = HEAT_RATIO;
  const speed = ((2 * g) / ((g - 1) * AIR_GAS_CONSTANT)) * (ratio ** (2 / g) - ratio ** ((g + 1) / g));
  // Below zero where the atmosphere is the higher: nothing flows back through a nozzle that counts.
  return (inlet / root) * Math.sqrt(Math.max(0, speed));
}

function needNozzle({ pressure, atmosphere, temperature = USUAL_TEMPERATURE, coefficient = NOZZLE_COEFFICIENT }: Omit<Nozzle, 'bore'>): { flux: number } {
  toAbsolute(pressure, atmosphere);
  needWithin('temperature', temperature, 173.15, 673.15, sayCelsius);
  needWithin('coefficient', coefficient, 0.05, 1.2);
  return { flux: coefficient * idealMassFlux(pressure, atmosphere, temperature) };
}

/**
 * Air through a nozzle, kg/s; 0 at or below the atmosphere. Isentropic flow of an ideal gas; the charts' cells lie within
 * ±10 % of it with one coefficient. Rises with pressure and with the square of the bore.
 * @throws RangeError for a bore that is not above 0 or a pressure below vacuum.
 */
export function nozzleMassFlow(nozzle: Nozzle): number {
  needPositive('bore', nozzle.bore, 'm');
  return needNozzle(nozzle).flux * (Math.PI / 4) * nozzle.bore ** 2;
}

/**
 * The bore, m, that passes a mass flow, kg/s, at a pressure: `nozzleMassFlow` turned round.
 * @throws RangeError for no pressure or no flow.
 */
export function nozzleBore({ massFlow, ...at }: Omit<Nozzle, 'bore'> & { readonly massFlow: number }): number {
  needPositive('flow', massFlow, 'kg/s');
  const { flux } = needNozzle(at);
  if (!(flux > 0)) throw new RangeError(`pressure must be above the atmosphere for air to flow, found ${sayPressure(at.pressure)}`);
  return Math.sqrt(massFlow / flux / (Math.PI / 4));
}
