/** A number and its unit, by UCUM code. */
export interface Figure {
  readonly value: number;
  readonly unit: string;
}

/** What the list shows of a shift, worked out once at its end. */
export interface Headline {
  readonly blastingMs: number;
  readonly nozzleMedian: Figure | null;
  readonly coMax: Figure | null;
  readonly audibleAlarms: number;
  readonly criticalAlarms: number;
  /** Share of the shift in which the sensors that matter were heard, 0 to 1; null where none is fitted. */
  readonly coverage: number | null;
  /** Share of production lost to low pressure, 0 to 1; null without a nozzle pressure. */
  readonly lostProduction: number | null;
  readonly boreStart: Figure | null;
  readonly boreEnd: Figure | null;
}
