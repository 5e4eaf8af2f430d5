import { useMemo } from 'react';
import { callApi } from '../../api/call-api.ts';
import { useAnswer } from '../../hooks/use-answer.ts';

/** Ids of the points that a rig has: the server refuses a question about another. Null until known; empty where the rig is gone. */
export function useRigPoints(rig: string): ReadonlySet<string> | null {
  const asked = useAnswer(rig, () => callApi<{ readonly items: readonly { readonly id: string }[] }>(`/api/rigs/${encodeURIComponent(rig)}/points`));
  return useMemo(() => {
    if (asked.body) return new Set(asked.body.items.map((point) => point.id));
    return asked.failure === null ? null : new Set<string>();
  }, [asked.body, asked.failure]);
}
