import type { AirLine, Segment, Station, StationId } from './read-line.ts';

export interface Frame {
  readonly widthPx: number;
  /** Height of the drawing of pressure alone, without the parts below it. */
  readonly heightPx: number;
  /** Room left of the first and right of the last station, for their words. */
  readonly leftPx: number;
  readonly rightPx: number;
  /** Pressure at the top edge, psi. */
  readonly topPsi: number;
}

export interface Spot {
  readonly id: StationId;
  readonly x: number;
  /** Null where nothing good is measured: no mark may stand there. */
  readonly y: number | null;
  readonly station: Station;
}

export interface Stretch {
  readonly segment: Segment;
  readonly x1: number;
  readonly x2: number;
  /** Null unless both ends are known and air flows between them. */
  readonly y1: number | null;
  readonly y2: number | null;
}

/** How far along the air path a station is drawn, 0 to 1. The blast hose is the longest stretch and gets most of the width. */
const ALONG: Readonly<Record<StationId, number>> = { compressor: 0, separator: 0.27, machine: 0.5, nozzle: 1 };
/** Without a separator the machine moves to where the eye has room for both hoses. */
const ALONG_WITHOUT_SEPARATOR: Readonly<Record<StationId, number>> = { compressor: 0, separator: 0, machine: 0.42, nozzle: 1 };

export function yOf(psi: number, frame: Frame): number {
  return frame.heightPx * (1 - Math.min(Math.max(psi, 0), frame.topPsi) / frame.topPsi);
}

export function xOf(id: StationId, line: AirLine, frame: Frame): number {
  const along = line.stations.some((s) => s.id === 'separator') ? ALONG : ALONG_WITHOUT_SEPARATOR;
  return frame.leftPx + along[id] * (frame.widthPx - frame.leftPx - frame.rightPx);
}

export function layOutSpots(line: AirLine, frame: Frame): readonly Spot[] {
  return line.stations.map((station) => ({
    id: station.id,
    x: xOf(station.id, line, frame),
    y: station.psi === null ? null : yOf(station.psi, frame),
    station,
  }));
}

export function layOutStretches(line: AirLine, frame: Frame): readonly Stretch[] {
  const spots = layOutSpots(line, frame);
  const spotOf = (id: StationId): Spot => spots.find((s) => s.id === id) as Spot;
  return line.segments.map((segment) => {
    const from = spotOf(segment.from);
    const to = spotOf(segment.to);
    const isDrawn = segment.kind === 'joined';
    return { segment, x1: from.x, x2: to.x, y1: isDrawn ? from.y : null, y2: isDrawn ? to.y : null };
  });
}

/** Steps of the scale, so that it doesn't breathe with every reading. */
const STEP_PSI = 10;

/** Top of the scale: above every limit and everything measured now. */
export function topOfScale(line: AirLine, limitsPsi: readonly (number | null)[]): number {
  const highest = Math.max(100, ...limitsPsi.map((l) => l ?? 0), ...line.stations.map((s) => s.psi ?? 0), line.expectedNozzlePsi ?? 0);
  return Math.ceil((highest * 1.05) / STEP_PSI) * STEP_PSI;
}
