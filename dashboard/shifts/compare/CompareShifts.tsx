import type { LiveSite } from '../../../domain/wire/live.ts';
import { readShift } from '../../api/shifts.ts';
import { useAnswer } from '../../hooks/use-answer.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useReader } from '../../hooks/use-reader.ts';
import { useRigPoints } from '../trace/use-rig-points.ts';
import { CompareStage } from './CompareStage.tsx';

/** Two shifts laid over one another, both from their start. */
export function CompareShifts({ ids, sites }: { ids: readonly [string, string]; sites: readonly LiveSite[] }) {
  const { words } = useSeat();
  const { nowMs } = useReader();
  const first = useAnswer(ids[0], () => readShift(ids[0]));
  const second = useAnswer(ids[1], () => readShift(ids[1]));
  const firstPoints = useRigPoints(first.body?.rig ?? '');
  const secondPoints = useRigPoints(second.body?.rig ?? '');
  const failure = first.failure ?? second.failure;
  if (failure !== null) {
    return (
      <p className="sheet__empty" role="alert">
        {words.shifts.failed(failure || words.shift.serverUnreachable)}
      </p>
    );
  }
  if (!first.body || !second.body || nowMs === null || !firstPoints || !secondPoints) return <p className="sheet__empty">{words.shifts.loading}</p>;
  return <CompareStage shifts={[first.body, second.body]} points={[firstPoints, secondPoints]} sites={sites} nowMs={nowMs} />;
}
