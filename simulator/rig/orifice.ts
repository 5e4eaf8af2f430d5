import { GAS_CONSTANT } from './air.ts';
import type { Flow } from './air-network.ts';

/** Above this ratio of pressures the flow is taken as linear, or its slope would grow without bound. */
const LINEAR_ABOVE = 0.995;

/**
 * Air through a valve, nozzle or hole, in the elliptic form of ISO 6358-1: choked below the critical ratio of absolute
 * pressures, falling along a quarter ellipse above it. `area` is effective, m² (already times its discharge
 * coefficient); `temperature` in K; pressures Pa absolute. Works in both directions.
 */
export function orificeFlow(out: Flow, upstream: number, downstream: number, area: number, temperature: number, criticalRatio: number): void {
  if (upstream < downstream) {
    orificeFlow(out, downstream, upstream, area, temperature, criticalRatio);
    const perDownstream = -out.perUpstream;
    out.perUpstream = -out.perDownstream;
    out.perDownstream = perDownstream;
    out.kgPerS = -out.kgPerS;
    return;
  }
  // 0.6847 = √γ·(2/(γ+1))^((γ+1)/(2(γ−1))), choked flow of a gas with γ = 1.4.
  const choked = (0.6847 * area) / Math.sqrt(GAS_CONSTANT * temperature);
  const ratio = downstream / upstream;
  if (ratio <= criticalRatio) {
    out.kgPerS = choked * upstream;
    out.perUpstream = choked;
    out.perDownstream = 0;
    return;
  }
  if (ratio > LINEAR_ABOVE) {
    const x = (LINEAR_ABOVE - criticalRatio) / (1 - criticalRatio);
    const slope = (choked * Math.sqrt(1 - x * x)) / (1 - LINEAR_ABOVE);
    out.kgPerS = slope * (upstream - downstream);
    out.perUpstream = slope;
    out.perDownstream = -slope;
    return;
  }
  const x = (ratio - criticalRatio) / (1 - criticalRatio);
  const root = Math.sqrt(1 - x * x);
  const steep = (choked * x) / ((1 - criticalRatio) * root);
  out.kgPerS = choked * upstream * root;
  out.perUpstream = choked * root + steep * ratio;
  out.perDownstream = -steep;
}

/** Nothing passes. */
export function shutFlow(out: Flow): void {
  out.kgPerS = 0;
  out.perUpstream = 0;
  out.perDownstream = 0;
}
