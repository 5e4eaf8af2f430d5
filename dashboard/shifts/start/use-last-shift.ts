import { useEffect, useState } from 'react';
import { readShift, readShifts } from '../../api/shifts.ts';
import type { Shift } from '../../api/shift-shapes.ts';

/** The last shift of a rig, from which the next one takes what rarely changes. Undefined while it is sought, null where there is none. */
export function useLastShift(site: string, rig: string): Shift | null | undefined {
  const [found, setFound] = useState<{ readonly rig: string; readonly shift: Shift | null } | null>(null);
  useEffect(() => {
    if (rig === '') return;
    let isCurrent = true;
    const tell = (shift: Shift | null): void => void (isCurrent && setFound({ rig, shift }));
    void readShifts({ site, rig, state: null, search: '', fromMs: null, toMs: null, limit: 1, cursor: null }).then((answer) => {
      const card = answer.ok ? answer.body.items[0] : undefined;
      if (!card) return tell(null);
      void readShift(card.id).then((full) => tell(full.ok ? full.body : null));
    });
    return () => {
      isCurrent = false;
    };
  }, [site, rig]);
  return found?.rig === rig ? found.shift : undefined;
}
