import { use, useMemo } from 'react';
import type { LivePoint } from '../../../domain/wire/live.ts';
import { limitsOf } from '../../format/describe-point.ts';
import { RecentContext, columnOf } from './RecentTraces.tsx';
import { leastSpanOf } from './recent-questions.ts';
import { FIELD, shortShape } from './short-shape.ts';

/** Where a value came from in the last minutes, beside it; its place is kept while there is nothing to draw. For the eye only: nothing is read off it. */
export function ShortTrace({ point }: { point: LivePoint | undefined }) {
  const recent = use(RecentContext);
  const limits = JSON.stringify(point ? limitsOf(point).map((one) => one.limit) : []);
  const owner = point?.owner ?? '';
  const id = point?.id ?? '';
  const shape = useMemo(
    () => (recent ? shortShape(columnOf(recent, owner, id), { fromMs: recent.fromMs, toMs: recent.toMs, leastSpan: leastSpanOf(id), limits: JSON.parse(limits) as number[] }) : null),
    [recent, owner, id, limits],
  );
  return (
    <svg className="short-trace" viewBox={`0 0 ${FIELD.width} ${FIELD.height}`} preserveAspectRatio="none" aria-hidden="true" focusable="false" data-testid={point && `short-${owner}-${id}`}>
      {shape?.limits.map((y) => <path key={y} className="short-trace__limit" d={`M0 ${y}H${FIELD.width}`} />)}
      {shape?.paths.map((path) => <path key={path} className="short-trace__line" d={path} />)}
    </svg>
  );
}
