import { blastLine, solveLine } from '../../air/line.ts';
import { type AbsolutePressure, type GaugePressure, gauge } from '../../quantity/pressure.ts';

/**
 * What the nozzle should read with this pressure at the blast machine: gauge Pa, from the blast hose and nozzle as built (metres) and
 * the usual abrasive in the stream.
 */
export function expectedNozzlePressure(
  supply: GaugePressure,
  hose: { readonly bore: number; readonly length: number },
  nozzle: { readonly bore: number },
  atmosphere: AbsolutePressure,
): GaugePressure {
  return solveLine(blastLine({ supply, atmosphere, hose, nozzle })).outlets[0]?.nozzlePressure ?? gauge(0);
}
