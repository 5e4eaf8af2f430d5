import type { Site } from '../intake/site.ts';
import type { RecordedShift } from '../record/shift-record.ts';
import type { ApiContext } from './context.ts';
import { notFound } from './problem-error.ts';
import { describeShift } from './shift-shape.ts';

/** The recorded shift of this id and the writer of its site. @throws ProblemError 404 */
export async function findShift({ store, writers }: Pick<ApiContext, 'store' | 'writers'>, id: string): Promise<{ writer: Site; recorded: RecordedShift }> {
  const recorded = await store.shiftRecord.find(id);
  const writer = recorded ? writers.get(recorded.site) : undefined;
  if (!recorded || !writer) throw notFound(`shift ${JSON.stringify(id)}`);
  return { writer, recorded };
}

/** True where a recorded shift was played again while this one was open. */
export function isReplay({ store, clock }: Pick<ApiContext, 'store' | 'clock'>, { site, shift }: RecordedShift): Promise<boolean> {
  return store.replays.reachesInto(site, shift.startedAtMs, shift.endedAtMs ?? clock.nowMs());
}

/** A recorded shift as the API tells of it. @throws ProblemError 404 */
export async function tellShift(context: Pick<ApiContext, 'store' | 'writers' | 'clock'>, id: string): Promise<ReturnType<typeof describeShift>> {
  const { recorded } = await findShift(context, id);
  return describeShift(recorded, await context.store.shiftRecord.items(id), await isReplay(context, recorded));
}
