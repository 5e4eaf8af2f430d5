/**
 * What a scenario does to the plant. Every effect is a number that is 0 when nothing is wrong and is added up over the
 * events under way, so that a fault can set in suddenly or creep.
 */
export const RIG_EFFECTS = {
  /** Added resistance of the blast hose, in multiples of its own. */
  hoseKink: 0,
  /** Added resistance from the receiver to the blast machine, in multiples of its own (a part-shut valve, a clogged element). */
  supplyRestriction: 0,
  /** Diameter of a hole on the supply side, mm: a worn gasket, a cut hose. */
  supplyLeakMm: 0,
  /** Ball valve ahead of the blast machine: 1 is shut. */
  supplyShut: 0,
  /** Share of the blow-down outlet that is blocked, 0 to 1. */
  ventBlocked: 0,
  /** Ice or dirt in the control line: added seconds before the valves follow the handle. */
  controlLineSlowS: 0,
  /** Sealing valve that does not seat: share of its opening that stays. */
  sealingValveStuck: 0,
  /** Metering valve opened too far, share of the trimmed flow. */
  richMix: 0,
  /** Nozzle bored out, mm over what wear has done. */
  nozzleWornMm: 0,
  /** Share of the breathing filter's carbon-monoxide catalyst that no longer works. */
  catalystSpent: 0,
  /** Added to the breathing regulator's setting, psi. */
  breathingRegulatorPsi: 0,
  /** Water the separator lets through, share of what should drop out. */
  separatorCarryover: 0,
  /** The blaster holds the handle, whatever else. */
  holdHandle: 0,
  /** The blaster stays off the handle, whatever else. */
  noBlasting: 0,
  /** The pot is refilled as soon as this begins. */
  refillNow: 0,
  /** Nobody refills the pot. */
  noRefill: 0,
};
export type RigEffects = { [K in keyof typeof RIG_EFFECTS]: number };

export const COMPRESSOR_EFFECTS = {
  /** 1: it has tripped and delivers nothing. */
  tripped: 0,
  /** Air end hotter than it should be, K. */
  overheatK: 0,
  /** Delivery warmer than it should be at full flow, K: a fouled aftercooler. */
  aftercoolerFouledK: 0,
  /** Share of the rated flow that is missing. */
  capacityLost: 0,
};
export type CompressorEffects = { [K in keyof typeof COMPRESSOR_EFFECTS]: number };

export const SITE_EFFECTS = {
  /** 0 to 1: how far the wind has turned to blow the engine exhaust into the compressor's intake. */
  windToIntake: 0,
  /** Added wind, m/s. */
  windMS: 0,
  /** Air colder by, K. */
  colderK: 0,
  /** Dew point higher by, K. */
  damperK: 0,
};
export type SiteEffects = { [K in keyof typeof SITE_EFFECTS]: number };
