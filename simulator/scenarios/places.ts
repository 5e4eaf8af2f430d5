import type { SiteSheet } from './scenario.ts';

/** Places of our own invention. */
export const tamberPoint: SiteSheet = { id: 'tamber-2', name: 'Tamber Point, dock 2', zone: 'America/Chicago', elevation: '180m' };
export const hollinBridge: SiteSheet = { id: 'hollin-6', name: 'Hollin Bridge, span 6', zone: 'America/New_York', elevation: '40m' };
export const ossingTanks: SiteSheet = { id: 'ossing-14', name: 'Ossing tank yard, tank 14', zone: 'America/Chicago', elevation: '8m' };
export const farrowHigh: SiteSheet = { id: 'farrow', name: 'Farrow High penstock', zone: 'America/Denver', elevation: '1650m' };
