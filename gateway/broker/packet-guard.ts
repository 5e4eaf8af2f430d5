/** What one client may send. */
export interface PacketLimits {
  readonly maxPacketBytes: number;
  /** Sustained, and how much at once after a quiet time: a sensor that kept a morning's readings hands them over in one go. */
  readonly packetsPerSecond: number;
  readonly burstPackets: number;
}

/**
 * Reads the frames of MQTT as they pass (MQTT 3.1.1 §2.2): the parser behind would gather a packet of 256 MB before anybody could say no.
 * `feed` answers with why the client has to go, null while all is well.
 */
export class PacketGuard {
  readonly #limits: PacketLimits;
  #tokens: number;
  #atMs: number;
  /** Bytes of the packet that are still to come. */
  #left = 0;
  #state: 'type' | 'length' | 'body' = 'type';
  #factor = 1;

  constructor(limits: PacketLimits, nowMs: number) {
    this.#limits = limits;
    this.#tokens = limits.burstPackets;
    this.#atMs = nowMs;
  }

  feed(chunk: Uint8Array, nowMs: number): string | null {
    const { maxPacketBytes, packetsPerSecond, burstPackets } = this.#limits;
    this.#tokens = Math.min(burstPackets, this.#tokens + ((nowMs - this.#atMs) / 1000) * packetsPerSecond);
    this.#atMs = nowMs;
    for (let at = 0; at < chunk.byteLength; ) {
      if (this.#state === 'body') {
        const taken = Math.min(this.#left, chunk.byteLength - at);
        this.#left -= taken;
        at += taken;
        if (this.#left === 0) this.#state = 'type';
        continue;
      }
      const byte = chunk[at] ?? 0;
      at += 1;
      if (this.#state === 'type') {
        this.#tokens -= 1;
        if (this.#tokens < 0) return `more than ${packetsPerSecond} packets a second`;
        [this.#state, this.#left, this.#factor] = ['length', 0, 1];
        continue;
      }
      this.#left += (byte & 0x7f) * this.#factor;
      this.#factor *= 128;
      if (this.#left > maxPacketBytes) return `a packet of more than ${maxPacketBytes} bytes`;
      if ((byte & 0x80) === 0) this.#state = this.#left === 0 ? 'type' : 'body';
      else if (this.#factor > 128 ** 3) return 'a packet length that is none';
    }
    return null;
  }
}
