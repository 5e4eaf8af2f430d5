import { Secret, TOTP } from 'otpauth';

const PERIOD_S = 30;
/** A phone's clock may be a step off. */
const WINDOW = 1;

function totpOf(secret: string, name: string): TOTP {
  return new TOTP({ issuer: 'Potside', label: name, algorithm: 'SHA1', digits: 6, period: PERIOD_S, secret: Secret.fromBase32(secret) });
}

/** A new secret (160 bits, base32) and the address an authenticator app reads (RFC 6238). */
export function newTotp(name: string): { secret: string; uri: string } {
  const secret = new Secret({ size: 20 }).base32;
  return { secret, uri: totpOf(secret, name).toString() };
}

/** The time step that this code belongs to, later than `usedStep`; null for a wrong code or one that was used. */
export function checkTotp(secret: string, code: string, nowMs: number, usedStep: number | null): number | null {
  if (!/^\d{6}$/.test(code)) return null;
  const delta = totpOf(secret, '').validate({ token: code, timestamp: nowMs, window: WINDOW });
  if (delta === null) return null;
  const step = Math.floor(nowMs / 1000 / PERIOD_S) + delta;
  return usedStep !== null && step <= usedStep ? null : step;
}
