import mqtt from 'mqtt';
import { packOf, RIGS, SITES, topicOf } from './sites.ts';

/** A process of its own: every rig of every site sends its pack once a second, spread over the second, for so long: `sensors.js <mqtt url> <seconds>`. Prints what was acknowledged. */
const [, , url = '', seconds = '60'] = process.argv;
const SLICES = 50;

const client = await mqtt.connectAsync(url, { reconnectPeriod: 0 });
const boxes = Array.from({ length: SITES * RIGS }, (_, index) => ({ site: Math.floor(index / RIGS), rig: index % RIGS }));
let acknowledged = 0;
let slice = 0;
const begun = performance.now();
await new Promise<void>((resolve) => {
  const timer = setInterval(() => {
    const due = Math.floor(((performance.now() - begun) / 1000) * SLICES);
    for (; slice < due; slice += 1) {
      const beat = Math.floor(slice / SLICES);
      if (beat >= Number(seconds)) {
        clearInterval(timer);
        return resolve();
      }
      for (let box = slice % SLICES; box < boxes.length; box += SLICES) {
        const { site, rig } = boxes[box] ?? { site: 0, rig: 0 };
        client.publishAsync(topicOf(site, rig), packOf(site, rig, beat, Date.now()), { qos: 1 }).then(() => (acknowledged += 1), () => undefined);
      }
    }
  }, 5);
});
const sent = boxes.length * Number(seconds);
while (acknowledged < sent && client.connected) await new Promise((resolve) => setTimeout(resolve, 50));
process.stdout.write(`${JSON.stringify({ sent, acknowledged })}\n`);
await client.endAsync();
