import type { LiveAlarm } from '../../../domain/wire/live.ts';

/** Where along the air an alarm is. `outside`: steel, weather, the site itself. */
export type LinePlace = 'compressor' | 'machine' | 'hose' | 'nozzle' | 'hood' | 'outside';

const PLACES: readonly (readonly [pattern: RegExp, place: LinePlace])[] = [
  [/^breathing-air|^reserve-air|^cohb|^co-/, 'hood'],
  [/^compressor|^intake/, 'compressor'],
  [/^nozzle|bore|^blasting|^remote-control|^trigger|^handle/, 'nozzle'],
  [/^line-|^hose|^expected/, 'hose'],
  [/^supply|^pot|^separator|^air-|^condensate|^leak|^abrasive/, 'machine'],
];

export function placeOnLine({ point }: Pick<LiveAlarm, 'point'>): LinePlace {
  return PLACES.find(([pattern]) => pattern.test(point))?.[1] ?? 'outside';
}
