import { type Answer, callApi } from './call-api.ts';

interface Said {
  readonly value: number;
  readonly unit: string;
}

interface Told {
  readonly point: string;
  readonly doneAt: string;
  readonly doneBy: string;
  readonly toldAt: string;
  readonly toldBy: string;
  readonly note: string;
}

export interface Calibration extends Told {
  readonly certificate: string;
  readonly dueAt: string;
  readonly overdue: boolean;
  readonly asFound: Said | null;
  readonly asLeft: Said | null;
}

export interface BumpTest extends Told {
  readonly gas: Said;
  readonly passed: boolean;
}

/** Something that is due on a rig, as the alarms count it. */
export interface Due {
  readonly entry: string;
  readonly title: string;
  readonly point: string;
  readonly doneAt: string | null;
  readonly doneBy: string | null;
  readonly dueAt: string | null;
  readonly overdue: boolean;
}

interface LatestAndAll<T> {
  readonly items: readonly T[];
  readonly history: readonly T[];
}

const of = (rig: string): string => `/api/rigs/${encodeURIComponent(rig)}`;

export interface SensorChecks {
  readonly calibrations: LatestAndAll<Calibration>;
  readonly bumpTests: LatestAndAll<BumpTest>;
  readonly due: readonly Due[];
}

/** All that is told of a rig's sensors; the first answer that fails is the answer. */
export async function readSensorChecks(rig: string): Promise<Answer<SensorChecks>> {
  const [calibrations, bumpTests, due] = await Promise.all([
    callApi<LatestAndAll<Calibration>>(`${of(rig)}/calibrations`),
    callApi<LatestAndAll<BumpTest>>(`${of(rig)}/bump-tests`),
    callApi<{ readonly items: readonly Due[] }>(`${of(rig)}/due`),
  ]);
  if (!calibrations.ok) return calibrations;
  if (!bumpTests.ok) return bumpTests;
  if (!due.ok) return due;
  return { ok: true, body: { calibrations: calibrations.body, bumpTests: bumpTests.body, due: due.body.items } };
}
