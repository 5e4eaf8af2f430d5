import { POINT_KINDS } from '../domain/points/catalogue.ts';

/** What sensors say on a day on which nothing happens, in each point's default unit: the points of a rig in the catalogue's order, then its compressor's. */
const LEVELS: Readonly<Record<string, number>> = {
  'supply-pressure': 105, 'nozzle-pressure': 96, 'pot-pressure': 103, 'separator-pressure': 108, 'breathing-air-co': 2, 'breathing-air-pressure': 62, 'breathing-air-temperature': 21, 'breathing-air-oxygen': 20.9,
  'reserve-air-pressure': 2200, 'air-line-dew-point': 2, 'separator-temperature': 27, 'steel-temperature': 20, 'containment-suction': 12, 'remote-control': 1,
  'compressor-pressure': 112, 'compressor-temperature': 85, 'air-flow': 230,
};

/** All points that a rig and a compressor of its own can have measured: 17, of which 14 are the rig's. */
export const MEASURED: readonly { readonly id: string; readonly of: 'rig' | 'compressor' }[] = POINT_KINDS.flatMap(({ id, owner, origin }) => (origin === 'measured' && owner !== 'site' ? [{ id, of: owner }] : []));

/** A value that moves by its last digit from beat to beat, so that no sensor is frozen and no alarm is raised. @throws RangeError for a point without a level */
export function levelOf(id: string, beat: number): number {
  const level = LEVELS[id];
  if (level === undefined) throw new RangeError(`no level for ${id}`);
  return id === 'remote-control' ? level : Math.round((level + (beat % 5) / 10) * 10) / 10;
}
