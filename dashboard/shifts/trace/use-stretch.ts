import { useEffect, useState } from 'react';
import { type RecordedTrace, readStretch } from '../../api/shifts.ts';
import type { Stretch } from './stretch.ts';

export interface StretchShown {
  /** The last that came; drawn on while a nearer one is on its way. */
  readonly trace: RecordedTrace | null;
  readonly isLoading: boolean;
  readonly failure: string | null;
}

/** While fingers move, the server is not asked for each step between. */
const SETTLE_MS = 120;

/** The visible stretch of a shift at the screen's width: a point a pixel, its lowest and highest, whatever the zoom. */
export function useStretch(shift: string, points: readonly string[], stretch: Stretch | null, widthPx: number): StretchShown {
  const [shown, setShown] = useState<StretchShown>({ trace: null, isLoading: true, failure: null });
  const known = points.join(',');
  const fromMs = stretch?.fromMs ?? null;
  const toMs = stretch?.toMs ?? null;
  useEffect(() => {
    if (fromMs === null || toMs === null || widthPx <= 0 || known === '') return;
    let isCurrent = true;
    setShown((was) => (was.isLoading ? was : { ...was, isLoading: true }));
    const timer = setTimeout(() => {
      void readStretch({ shift, points: known.split(','), fromMs, toMs, widthPx }).then((answer) => {
        if (!isCurrent) return;
        setShown((was) => (answer.ok ? { trace: answer.body, isLoading: false, failure: null } : { trace: was.trace, isLoading: false, failure: answer.detail }));
      });
    }, SETTLE_MS);
    return () => {
      isCurrent = false;
      clearTimeout(timer);
    };
  }, [shift, known, fromMs, toMs, widthPx]);
  return shown;
}
