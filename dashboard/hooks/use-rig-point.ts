import type { LivePoint, LiveRig } from '../../domain/wire/live.ts';
import { findRigPoint } from '../link/site-facts.ts';
import { useSeat } from './desk-context.ts';
import { useSelected } from './use-store.ts';

/** One point of a rig as it is now: whoever shows it is drawn anew when it changes, and not for all the others. */
export function useRigPoint(rig: LiveRig, id: string): LivePoint | undefined {
  const { desk } = useSeat();
  return useSelected(desk.live, (live) => findRigPoint(live.points, rig, id));
}
