import { askForBirth } from './decode/sparkplug/decode-sparkplug.ts';
import { SparkplugNode } from './decode/sparkplug/sparkplug-node.ts';
import type { Command } from './decode/decoded-message.ts';
import { SeenReadings } from './seen-readings.ts';
import { SensorClocks } from './sensor-clock.ts';

/** What taking in remembers from one message to the next. Lost at a restart: edge nodes are then asked for their births. */
export class IntakeMemory {
  readonly seen = new SeenReadings();
  readonly clocks = new SensorClocks();
  readonly #nodes = new Map<string, SparkplugNode>();

  /** Only for edge nodes of the configuration, so that nobody can fill the memory. */
  node(key: string): SparkplugNode {
    const known = this.#nodes.get(key) ?? new SparkplugNode();
    this.#nodes.set(key, known);
    return known;
  }

  /** After a time without a connection: births and deaths may have been missed, and edge nodes speak only when something changes. */
  resume(nodes: readonly string[], nowMs: number): Command[] {
    return nodes.flatMap((key) => {
      this.node(key).miss();
      return askForBirth(key, this.node(key), nowMs);
    });
  }
}
