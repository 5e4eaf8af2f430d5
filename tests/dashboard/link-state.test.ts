import { describe, expect, it } from 'vitest';
import { GATEWAY_DEAD_MS, LINK_DEAD_MS, type LinkFacts, isLive, judgeLink } from '../../dashboard/link/link-state.ts';
import { nextClock, serverTimeMs } from '../../dashboard/link/server-clock.ts';
import { readSensorFacts } from '../../dashboard/link/site-facts.ts';
import { pointKey } from '../../domain/points/reading.ts';
import { fabricatedSite, notGood, point } from './support/fabricated-site.ts';

const well: LinkFacts = {
  following: { state: 'following', boot: 'b', revision: 1 }, sinceOpenMs: 60_000, frameAgeMs: 200, gatewayAgeMs: 900, silentSensors: 0, oldestMs: 4_000,
};

describe('link state', () => {
  it('is live while frames, gateway and sensors are', () => {
    expect(judgeLink(well)).toEqual({ state: 'live', silentSensors: 0, oldestMs: 4_000 });
  });

  it('is not live once the server has been silent for more than five seconds', () => {
    expect(isLive(judgeLink({ ...well, frameAgeMs: LINK_DEAD_MS }))).toBe(true);
    expect(judgeLink({ ...well, frameAgeMs: LINK_DEAD_MS + 1 })).toEqual({ state: 'not-live', because: 'server-silent', ageMs: 5_001 });
  });

  it('is not live once the gateway has been silent, though the server talks', () => {
    expect(judgeLink({ ...well, gatewayAgeMs: GATEWAY_DEAD_MS + 1 })).toMatchObject({ state: 'not-live', because: 'gateway-silent' });
  });

  it('names the browser link first, since nothing else can be known behind it', () => {
    expect(judgeLink({ ...well, frameAgeMs: 9_000, gatewayAgeMs: 99_000 })).toMatchObject({ because: 'server-silent' });
  });

  it('forgives a dropped push for a moment, a page out of sight not for one', () => {
    const doubt = (because: 'hole' | 'unseen') => ({ state: 'catching-up', because, boot: 'b', revision: 1 }) as const;
    expect(isLive(judgeLink({ ...well, following: doubt('hole') }))).toBe(true);
    expect(isLive(judgeLink({ ...well, following: doubt('hole'), frameAgeMs: 1_600 }))).toBe(false);
    expect(isLive(judgeLink({ ...well, following: doubt('unseen') }))).toBe(false);
  });

  it('is connecting, never live, before the first snapshot', () => {
    expect(judgeLink({ ...well, following: { state: 'waiting' } })).toEqual({ state: 'connecting', forMs: 60_000 });
  });
});

describe('server clock', () => {
  it('believes the frame that travelled fastest', () => {
    const slow = nextClock(null, 1_000_000, 500);
    const fast = nextClock(slow, 1_001_000, 1_300);
    expect(serverTimeMs(fast, 1_300)).toBe(1_001_000);
    expect(serverTimeMs(nextClock(fast, 1_002_000, 2_700), 2_700)).toBe(1_002_400);
  });

  it('forgets old frames, so that a clock set back is followed', () => {
    let clock = nextClock(null, 9_000, 0);
    for (let i = 1; i <= 60; i += 1) clock = nextClock(clock, 1_000 + i, i);
    expect(serverTimeMs(clock, 60)).toBe(1_060);
  });
});

describe('sensor facts', () => {
  const site = fabricatedSite(100_000, { gatewayAtMs: 90_000 });
  const points = new Map([
    point('rig-a', 'breathing-air-co', 3, 99_000), notGood(point('rig-a', 'nozzle-pressure', 96, 20_000), 'stale'),
    point('quay-4', 'ambient-humidity', 70, 93_000), point('elsewhere', 'breathing-air-co', 3, 1_000), point('rig-a', 'steel-margin', 4, 2_000),
  ].map((p) => [pointKey(p.owner, p.id), p]));

  it('counts silent sensors, and finds the oldest good measured reading of this site alone', () => {
    expect(readSensorFacts(site, points)).toEqual({ gatewayAtMs: 99_000, silentSensors: 1, oldestAtMs: 93_000 });
  });
});
