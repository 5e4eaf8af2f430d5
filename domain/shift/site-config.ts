import type { FloodSettings } from '../alarms/flood.ts';
import type { Regime } from '../alarms/rule.ts';
import type { Language } from './language.ts';
import type { NotifyConfig, OpenIdConfig } from './server-config.ts';
import type { ReadyEvent } from './readiness/step.ts';

/**
 * A site as configured: who owns which sensor, how each rig is built, and what the site changes in the alarm table.
 * Already checked and converted; `domain/wire/site-yaml.ts` has the form in which people write it.
 */
export interface SiteConfig {
  readonly site: {
    readonly id: string;
    readonly name: string;
    /** IANA time zone. */
    readonly zone: string;
    /** Metres above sea level. */
    readonly elevation: number;
    /** For practice: nothing here is real, and everything says so. */
    readonly training: boolean;
    /** What people are told in who chose none; absent in configurations of before there was a choice: English. */
    readonly language?: Language;
  };
  /** Null: the embedded broker. */
  readonly mqtt: BrokerConfig | null;
  /** Where the embedded broker listens beyond loopback, over TLS and with accounts; null: nowhere. */
  readonly listen: ListenConfig | null;
  /** Servers elsewhere that the gateway hands its readings to. */
  readonly uplinks: readonly UplinkConfig[];
  readonly compressors: readonly CompressorConfig[];
  readonly rigs: readonly RigConfig[];
  /** Points of the site itself. */
  readonly points: PointSources;
  readonly alarms: Readonly<Record<string, AlarmOverride>>;
  /** How long readings are kept, ms by class; null keeps them for good. */
  readonly retention: Retention;
  /** Whose law the shipped limits follow. */
  readonly regime: Regime;
  readonly flood: FloodSettings;
  /** The address at which people reach the page. */
  readonly page?: string;
  readonly openId?: OpenIdConfig;
  /** Without it alarms are told on screens and by the beacon only. */
  readonly notify?: NotifyConfig;
  /** Steps that this site adds to the check before blasting; absent where it adds none. */
  readonly ready?: readonly OwnStep[];
}

/** A site's own step of the check before blasting. */
export interface OwnStep {
  readonly id: string;
  readonly title: string;
  readonly todo: readonly string[];
  readonly ifNot: string;
  /** The step it follows. */
  readonly behind: string;
  readonly again: readonly ReadyEvent[];
  readonly expiresMs: number | null;
  /** What a sensor shows of it, bounds in the point's default unit; null where only a person can see. */
  readonly proof: { readonly point: string; readonly low: number | null; readonly high: number | null } | null;
}

/**
 * Classes of what may be erased one day: the air that people breathed, other sensors, and what is computed from them. Journal, alarms,
 * shifts and what people told are never erased.
 */
export type Retention = Readonly<Record<RetentionClass, number | null>>;
export const RETENTION_CLASSES = ['exposure', 'line', 'computed'] as const;
export type RetentionClass = (typeof RETENTION_CLASSES)[number];

export interface BrokerConfig {
  readonly url: string;
  /** Of more brokers of the same cluster, tried in turn while one does not answer. */
  readonly otherUrls?: readonly string[];
  readonly username: string | null;
  readonly passwordFile: string | null;
  /** PEM file with the authority to trust, for TLS. */
  readonly caFile: string | null;
}

export interface ListenConfig {
  readonly host: string;
  readonly port: number;
  /** PEM of the certificate with its chain, and of its key. */
  readonly certFile: string;
  readonly keyFile: string;
}

export interface UplinkConfig {
  readonly name: string;
  /** Of the server: https, or http on loopback. */
  readonly url: string;
  /** Of more servers of the same record, tried in turn while one does not answer. */
  readonly otherUrls?: readonly string[];
  /** File with the bearer token. */
  readonly tokenFile: string;
  /** PEM file with the authority to trust, for TLS. */
  readonly caFile: string | null;
}

export interface CompressorConfig {
  readonly id: string;
  readonly name: string;
  /** m³/s of free air. */
  readonly ratedFlow: number | null;
  /** psi gauge. */
  readonly ratedPressure: number | null;
  /** Degrees: bearing of the intake seen from the blasting. */
  readonly intakeBearing: number | null;
  readonly serves: readonly string[];
  readonly points: PointSources;
}

export interface RigConfig {
  readonly id: string;
  readonly name: string;
  readonly vessel: { /** psi gauge */ readonly ratedPressure: number; /** m³ */ readonly volume: number | null } | null;
  /** Metres. */
  readonly hose: { readonly bore: number; readonly length: number } | null;
  /** Metres. */
  readonly nozzle: { readonly bore: number } | null;
  /** Wanted nozzle pressure, psi gauge. */
  /** Breathing pressure from the respirator's own table for the hose in use, psi gauge. */
  readonly respirator: { readonly low: number; readonly high: number } | null;
  readonly wanted: { readonly low: number; readonly high: number } | null;
  /** How people say it on a screen. */
  readonly built: string;
  readonly points: PointSources;
}

/** Point id → where its readings come from. */
export type PointSources = Readonly<Record<string, PointSource>>;

/** How a sensor writes its message. */
export const PAYLOAD_FORMS = ['number', 'json', 'senml', 'sparkplug'] as const;
export type PayloadForm = (typeof PAYLOAD_FORMS)[number];

export interface PointSource {
  /** For Sparkplug `<group>/<edge node>[/<device>]`. */
  readonly topic: string;
  readonly payload: PayloadForm;
  /** JSON Pointer to the value (RFC 6901); the empty pointer is the whole document. */
  readonly value: string;
  /** JSON Pointer to the time in Unix seconds; null where the payload has none. */
  readonly time: string | null;
  /** The sensor's resolved name in a SenML pack, or the Sparkplug metric's; null in other forms. */
  readonly name: string | null;
  /** UCUM code of what the payload holds, where it does not say so itself. */
  readonly unit: string;
  /** The range of a 4-20 mA transmitter in the point's default unit; null where the payload holds the quantity itself. */
  readonly loop: LoopRange | null;
  readonly everyMs: number | null;
  /** Where the device says that it is gone, mostly by its Last Will; absent where it does not. */
  readonly status?: DeviceStatus;
}

export interface DeviceStatus {
  readonly topic: string;
  /** The payload that says so. */
  readonly gone: string;
}

/** What 4 mA and 20 mA stand for. */
export interface LoopRange {
  readonly low: number;
  readonly high: number;
}

/** What a site changes of a shipped alarm; the limit in the point's default unit. */
export interface AlarmOverride {
  readonly limit?: number;
  readonly deadband?: number;
  readonly onDelayMs?: number;
  readonly offDelayMs?: number;
  /** Returns to normal without anybody's acknowledgement. */
  readonly autoAcknowledge?: boolean;
}
