import mqtt from 'mqtt';

/**
 * A process of its own that publishes a steady load at QoS 1, one reading a message: `load.js <mqtt url> <messages a second> <rigs>`.
 * Says how many were acknowledged so far, four times a second: who asks for more than can be had must see it.
 */
const [, , url = '', rate = '0', rigs = '1'] = process.argv;
const BEAT_MS = 10;
const SAY_EVERY_MS = 250;
const POINTS = ['supply-pressure', 'pot-pressure', 'breathing-air-pressure', 'separator-pressure', 'breathing-air-temperature'];

const client = await mqtt.connectAsync(url, { reconnectPeriod: 0 });
client.on('error', () => process.exit(1));
client.on('close', () => process.exit(0));
const begun = performance.now();
let sent = 0;
let acknowledged = 0;
setInterval(() => {
  // Behind schedule it catches up, so that a slow server meets the load it was promised.
  const due = Math.floor(((performance.now() - begun) / 1000) * Number(rate));
  for (; sent < due; sent += 1) {
    const point = POINTS[sent % POINTS.length] ?? 'pot-pressure';
    const rig = Math.floor(sent / POINTS.length) % Number(rigs);
    client.publish(`potside/bench/rig-${rig}/${point}`, String(60 + (sent % 10)), { qos: 1 }, (error) => (acknowledged += error ? 0 : 1));
  }
}, BEAT_MS);
setInterval(() => process.stdout.write(`${JSON.stringify({ acknowledged, atMs: performance.now() })}\n`), SAY_EVERY_MS);
