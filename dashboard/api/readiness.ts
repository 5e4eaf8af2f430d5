import type { WireReadiness } from '../../domain/wire/readiness.ts';
import { type Answer, callApi } from './call-api.ts';

export function readinessPath(rig: string, what = ''): string {
  return `/api/rigs/${encodeURIComponent(rig)}/readiness${what === '' ? '' : `/${what}`}`;
}

export function readReadiness(rig: string): Promise<Answer<WireReadiness>> {
  return callApi<WireReadiness>(readinessPath(rig));
}
