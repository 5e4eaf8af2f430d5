import { describe, expect, it } from 'vitest';
import { IntakeMemory } from '../../gateway/intake-memory.ts';
import { takeIn } from '../../gateway/take-in.ts';
import type { TakenReading } from '../../gateway/to-reading.ts';
import { TopicMap } from '../../gateway/topic-map.ts';
import { parseSiteYaml } from '../../host/read-site-config.ts';
import { bytesOf } from '../../simulator/devices/device.ts';
import { DEVICE_FORMS } from '../../simulator/devices/payload-form.ts';
import { type Sensor, createSensor, currentOf, readSensor } from '../../simulator/sensors/sensor.ts';
import { createSimulation } from '../../simulator/simulation.ts';

const START = Date.UTC(2026, 8, 14, 12);

/** A quarter of an hour of a site as the gateway takes it in. */
function takenIn(form: (typeof DEVICE_FORMS)[number]): TakenReading[] {
  const simulation = createSimulation({ scenario: 'quiet', seed: 3, rigs: 2, startAtMs: START, form });
  const topics = new TopicMap(parseSiteYaml(simulation.siteYaml, 'site.yaml'));
  const memory = new IntakeMemory();
  return simulation.advanceTo(START + 900_000).flatMap((message) => {
    const { readings, refusals } = takeIn(topics, { topic: message.topic, payload: Buffer.from(bytesOf(message)), retained: false }, message.atMs, memory);
    expect(refusals).toEqual([]);
    memory.seen.add(readings);
    return readings;
  });
}

describe('payload forms', () => {
  const asJson = takenIn('json');

  it.each(DEVICE_FORMS.filter((form) => form !== 'json'))('%s: the gateway takes in the same readings as from JSON, to what the form can hold', (form) => {
    const readings = takenIn(form);
    expect(readings.length).toBe(asJson.length);
    readings.forEach((reading, i) => {
      const same = asJson[i];
      expect([reading.owner, reading.point, reading.quality]).toEqual([same?.owner, same?.point, same?.quality]);
      // A loop has a live zero: it shows the noise below it that a number cuts off.
      if (form === 'loop' && same?.value === 0 && (reading.value ?? 0) < 0) return;
      expect(Math.abs((reading.value ?? Number.NaN) - (same?.value ?? Number.NaN)), reading.point).toBeLessThanOrEqual(reading.point === 'air-flow' ? 1 : 0.1001);
      if (form !== 'number' && same?.point !== 'steel-temperature') expect(Math.abs(reading.observedAtMs - (same?.observedAtMs ?? 0))).toBeLessThanOrEqual(1);
    });
  });
});

describe('a 4-20 mA loop', () => {
  const build = { range: [0, 200], resolution: 0.1, lag: 0, noise: 0, bias: 0 } as const;
  const sensor = (): Sensor => createSensor(build, 1, 'test');
  const well = { stuck: false, offset: 0, scale: 0, loop: 'closed', driftMilliamps: 0 } as const;

  it('runs from 4 to 20 mA over its range and saturates beyond it', () => {
    expect([0, 100, 200, -50, 400].map((psi) => currentOf(sensor(), psi, 1, well))).toEqual([4, 12, 20, 3.8, 20.5]);
  });

  it('shows a broken wire, a short and a drift in mA', () => {
    expect(currentOf(sensor(), 100, 1, { ...well, loop: 'open' })).toBe(0);
    expect(currentOf(sensor(), 100, 1, { ...well, loop: 'short' })).toBe(22);
    expect(currentOf(sensor(), 100, 1, { ...well, driftMilliamps: 0.32 })).toBe(12.32);
  });

  it('through a card that scales without a thought gives numbers that look like pressures', () => {
    expect(readSensor(sensor(), 100, 1, { ...well, loop: 'open' })).toBe(-50);
    expect(readSensor(sensor(), 100, 1, { ...well, loop: 'short' })).toBe(225);
    expect(readSensor(sensor(), 100, 1, { ...well, driftMilliamps: 0.32 })).toBe(104);
  });

  it('repeats its current when stuck', () => {
    const stuck = sensor();
    expect(currentOf(stuck, 100, 1, well)).toBe(12);
    expect(currentOf(stuck, 50, 1, { ...well, stuck: true })).toBe(12);
  });
});
