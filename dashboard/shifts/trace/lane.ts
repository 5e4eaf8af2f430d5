import type { Stretch } from './stretch.ts';

/** What every lane above the panels is drawn by. */
export interface LaneProps {
  readonly stretch: Stretch;
  readonly zone: string;
  /** Instant → px from the left edge of the stage. */
  readonly x: (ms: number) => number;
  readonly widthPx: number;
  /** Brings an instant, or a stretch, into sight. */
  readonly onShow: (fromMs: number, toMs: number) => void;
}
