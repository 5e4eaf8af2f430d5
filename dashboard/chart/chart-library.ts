import type uPlot from 'uplot';

export type ChartLibrary = typeof uPlot;

let library: ChartLibrary | null = null;
let asked: Promise<ChartLibrary> | null = null;

/** What draws charts, where it is there already: then a chart stands at once. */
export function chartLibrary(): ChartLibrary | null {
  return library;
}

/**
 * Fetched with the first chart and not with the page: figures stand before their history is drawn.
 * @throws where it can't be fetched, e.g. while the server is out of reach; the next call tries again.
 */
export function fetchChartLibrary(): Promise<ChartLibrary> {
  asked ??= import('./uplot.ts').then(
    ({ default: fetched }) => (library = fetched),
    (error: unknown) => {
      asked = null;
      throw error;
    },
  );
  return asked;
}
