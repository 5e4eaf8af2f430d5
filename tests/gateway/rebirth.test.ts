import mqtt from 'mqtt';
import { expect, it, onTestFinished } from 'vitest';
import { startGateway } from '../../gateway/gateway.ts';
import { wallClock } from '../../host/clock.ts';
import { QUIET, until } from '../support/quiet.ts';
import { SITE_YAML, testSite } from '../support/site.ts';
import { tempDir } from '../support/temp-dir.ts';
import { decode, encode, TYPE } from './support/foreign-encoder.ts';
import { PretendServer } from './support/pretend-server.ts';

it('an edge node that spoke before the gateway came is asked for its birth, and its values then arrive', async () => {
  const config = testSite(`${SITE_YAML}    points:\n      pot-pressure: { topic: line/edge-1, payload: sparkplug, metric: pot }\n`);
  const server = new PretendServer();
  const gateway = await startGateway({ config, dataDir: tempDir(), mqttPort: 0, makeClock: wallClock, log: QUIET, uplinks: [{ name: 'here', deliver: server.deliver }] });
  onTestFinished(() => gateway.stop());
  const edge = await mqtt.connectAsync(gateway.mqttUrl);
  onTestFinished(() => edge.endAsync(true));
  await edge.subscribeAsync('spBv1.0/line/NCMD/edge-1');
  const command = new Promise<Buffer>((resolve) => edge.once('message', (_topic, payload) => resolve(payload)));
  await edge.publishAsync('spBv1.0/line/NDATA/edge-1', Buffer.from(encode({ seq: 9, metrics: [{ alias: 1, float_value: 96.5 }] })));
  expect(decode(await command)).toMatchObject({ metrics: [{ name: 'Node Control/Rebirth', boolean_value: true }] });
  await edge.publishAsync('spBv1.0/line/NBIRTH/edge-1', Buffer.from(encode({ seq: 0, metrics: [{ name: 'pot', alias: 1, datatype: TYPE.Float, float_value: 96.5 }] })));
  const values = (): (number | null)[] => server.readings.map(({ value }) => value);
  await until(() => values().includes(96.5), 'the value of the birth');
  expect(values()).toEqual([null, 96.5]);
});
