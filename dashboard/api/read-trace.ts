import type { Trace } from '../../domain/wire/trace.ts';
import { type Answer, callApi } from './call-api.ts';

export interface TraceQuestion {
  readonly rig: string;
  readonly points: readonly string[];
  readonly fromMs: number;
  readonly toMs: number;
  readonly widthPx: number;
}

export function readTrace(question: TraceQuestion): Promise<Answer<Trace>> {
  const query = new URLSearchParams({
    points: question.points.join(','),
    from: new Date(question.fromMs).toISOString(),
    to: new Date(question.toMs).toISOString(),
    width: String(Math.max(1, Math.round(question.widthPx))),
  });
  return callApi<Trace>(`/api/rigs/${encodeURIComponent(question.rig)}/trace?${query.toString()}`);
}
