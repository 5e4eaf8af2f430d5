import type { SetUp } from '../../domain/air/sizing/set-up.ts';
import { fromSi, needUnit } from '../../domain/quantity/unit.ts';
import type { UnitSystem } from '../format/units.ts';
import { type Answer, callApi } from './call-api.ts';

/** What a shift says of its setup, as far as it is handed on. */
interface ShiftSetup {
  readonly setup?: Readonly<Record<string, unknown>>;
}

/** Puts nozzle, blast hose and compressor on an open shift; whatever else its setup says stays as it is. */
export async function putSetUp(shift: string, { nozzleBore, blastBore, blastLength }: SetUp, compressor: string, units: UnitSystem): Promise<Answer<unknown>> {
  const path = `/api/shifts/${encodeURIComponent(shift)}`;
  const held = await callApi<ShiftSetup>(path);
  if (!held.ok) return held;
  const [bore, along] = units === 'us' ? (['[in_i]', '[ft_i]'] as const) : (['mm', 'm'] as const);
  // Four decimals: a thirty-second of an inch is whole in them.
  const length = (si: number, code: string): { value: number; unit: string } => ({ value: Math.round(fromSi(si, needUnit(code, 'length')) * 1e4) / 1e4, unit: code });
  return callApi(`${path}/setup`, { method: 'PUT', body: { ...held.body.setup, nozzleBore: length(nozzleBore, bore), hoseBore: length(blastBore, bore), hoseLength: length(blastLength, along), compressor } });
}
