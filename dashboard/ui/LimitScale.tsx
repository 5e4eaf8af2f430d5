import type { LivePoint } from '../../domain/wire/live.ts';
import { placeOnScale } from './place-on-scale.ts';

/** Where a value stands among all its limits: the stretch between the innermost is the normal one. */
export function LimitScale({ point, top }: { point: LivePoint | undefined; top: number }) {
  const place = placeOnScale(point, top);
  return (
    <svg className="limit-scale" viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true" focusable="false">
      <rect className="limit-scale__all" x="0" y="3" width="100" height="4" />
      {place.normal ? <rect className="limit-scale__normal" x={place.normal[0]} y="3" width={place.normal[1] - place.normal[0]} height="4" /> : null}
      {place.limits.map((limit) => (
        <path key={limit} className="limit-scale__limit" d={`M${limit} 0V10`} />
      ))}
      {place.value === null ? null : <rect className="limit-scale__value" x={place.value - 0.8} y="0" width="1.6" height="10" />}
    </svg>
  );
}
