import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { startGateway, type Gateway } from '../../gateway/gateway.ts';
import { httpTarget } from '../../gateway/uplink/http-target.ts';
import { wallClock } from '../../host/clock.ts';
import { createLog } from '../../host/log.ts';
import { readSiteConfig } from '../../host/read-site-config.ts';
import { SITES, siteId } from './sites.ts';

/** The gateways of all sites in one process, each with its own connection, outbox and uplink: `gateways.js <dir of the configurations> <dir of the outboxes>`. Tells how they are each second. */
const [, , configs = '', outboxes = ''] = process.argv;
const log = createLog('silent');
const gateways: Gateway[] = [];
for (let site = 0; site < SITES; site += 1) {
  const config = readSiteConfig(join(configs, `${siteId(site)}-gateway.yaml`));
  const dataDir = join(outboxes, siteId(site));
  mkdirSync(dataDir, { recursive: true });
  gateways.push(await startGateway({ config, dataDir, mqttPort: 0, makeClock: wallClock, log, uplinks: config.uplinks.map(httpTarget) }));
}
setInterval(() => {
  const all = gateways.map((gateway) => gateway.status());
  process.stdout.write(`${JSON.stringify({ connected: all.filter(({ connected }) => connected).length, uplinks: all.filter(({ uplinks }) => uplinks.every((one) => one.connected)).length, messages: all.reduce((sum, one) => sum + one.messages, 0), waiting: all.reduce((sum, one) => sum + one.waiting, 0) })}\n`);
}, 1_000);
