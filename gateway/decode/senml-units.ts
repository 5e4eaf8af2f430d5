/**
 * Unit names of SenML (RFC 8428 §12.1, RFC 8798 §2 and §3, and the IANA registry) in UCUM. What is not listed has no counterpart here:
 * `%EL` is a battery, `lon` a place, and no sensor of a blast line measures them.
 */
const UCUM: ReadonlyMap<string, string> = new Map([
  ['Cel', 'Cel'],
  ['K', 'K'],
  ['Pa', 'Pa'],
  ['hPa', 'hPa'],
  ['%RH', '%'],
  ['%', '%'],
  ['/', '1'],
  ['/100', '%'],
  ['ppm', '[ppm]'],
  ['m/s', 'm/s'],
  ['km/h', 'km/h'],
  ['deg', 'deg'],
  ['rad', 'rad'],
  ['m3/s', 'm3/s'],
  ['l/s', 'L/s'],
  ['m3', 'm3'],
  ['l', 'L'],
  ['m2', 'm2'],
  ['m', 'm'],
  ['cm', 'cm'],
  ['mm', 'mm'],
  ['kg', 'kg'],
  ['g', 'g'],
  ['kg/m3', 'kg/m3'],
  ['s', 's'],
  ['ms', 'ms'],
  ['min', 'min'],
  ['h', 'h'],
  ['A', 'A'],
  ['mA', 'mA'],
  ['count', '{count}'],
]);

/** The UCUM code of a SenML unit name, or undefined. */
export function senmlUnit(name: string): string | undefined {
  return UCUM.get(name);
}
