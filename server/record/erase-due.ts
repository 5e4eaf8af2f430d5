import { randomUUID } from 'node:crypto';
import type { Clock } from '../../host/clock.ts';
import type { Site } from '../intake/site.ts';
import type { Store } from './store.ts';

/** Erases what `retention:` in site.yaml lets go, and tells the journal. The stretches themselves stay visible as erased. */
export async function eraseDue(store: Store, writer: Site, clock: Clock): Promise<void> {
  const retention = writer.state.config?.retention;
  if (!retention) return;
  for (const { kept, beforeMs, samples } of await store.underLease(writer.siteId, () => store.retention.eraseDue(writer.siteId, retention, clock.nowMs()))) {
    await writer.act({ kind: 'erase-readings', text: `retention: ${kept} in site.yaml`, beforeMs, samples, key: randomUUID(), by: 'potside', role: 'system', from: 'server' });
  }
}
