/** SenML's unit and the factor to it (RFC 8428 §12.1, RFC 8798): psi and cfm have none there, so such a sensor speaks SI. */
const SENML: Readonly<Record<string, { readonly unit: string; readonly factor: number; readonly resolution: number }>> = {
  '[psi]': { unit: 'Pa', factor: 6894.757293168361, resolution: 1 },
  '[cft_i]/min': { unit: 'm3/s', factor: 4.719474432e-4, resolution: 1e-7 },
  '[ppm]': { unit: 'ppm', factor: 1, resolution: 0.1 },
  '{count}': { unit: 'count', factor: 1, resolution: 1 },
};

export interface SenmlValue {
  readonly name: string;
  /** UCUM */
  readonly unit: string;
  readonly value: number;
}

/** A device's base name: what stands before the names of its records. */
export function senmlBase(siteId: string, device: string): string {
  return `urn:dev:ops:${siteId}-${device.replaceAll('/', '-')}:`;
}

/** A pack (RFC 8428) of one device at one time, Unix seconds. */
export function composeSenml(base: string, values: readonly SenmlValue[], atSeconds: number): string {
  return JSON.stringify(
    values.map(({ name, unit, value }, i) => {
      const said = SENML[unit] ?? { unit, factor: 1, resolution: 0.1 };
      const v = Number((Math.round((value * said.factor) / said.resolution) * said.resolution).toPrecision(12));
      return { ...(i === 0 ? { bn: base, bt: atSeconds } : {}), n: name, u: said.unit, v };
    }),
  );
}
