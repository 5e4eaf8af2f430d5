import mqtt from 'mqtt';
import { levelOf } from '../levels.ts';
import { sensorsOf } from './rigs.ts';

/** A process of its own: every sensor publishes once a second at QoS 1, spread over the second in so many steps, until it is ended: `sensors.js <mqtt url> <rigs> <points a rig> <steps>`. */
const [, , url = '', rigs = '1', points = '15', steps = '50'] = process.argv;
const SLICES = Number(steps);

const client = await mqtt.connectAsync(url, { reconnectPeriod: 0 });
client.on('error', () => process.exit(1));
client.on('close', () => process.exit(0));
const sensors = sensorsOf(Number(rigs), Number(points));
const begun = performance.now();
let slice = 0;
setInterval(() => {
  const due = Math.floor(((performance.now() - begun) / 1000) * SLICES);
  for (; slice < due; slice += 1) {
    const beat = Math.floor(slice / SLICES);
    for (let index = slice % SLICES; index < sensors.length; index += SLICES) {
      const { owner, point, rig } = sensors[index] ?? { owner: '', point: '', rig: 0 };
      client.publish(`potside/bench/${owner}/${point}`, String(levelOf(point, beat + rig + index)), { qos: 1 });
    }
  }
}, 1000 / SLICES);
