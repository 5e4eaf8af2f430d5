import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import PDFDocument from 'pdfkit';
import type { Language } from '../../../domain/shift/language.ts';

/** Points of a US Letter page. */
export const PAGE = { width: 612, height: 792, margin: 48, bottom: 56 } as const;
export const WIDTH = PAGE.width - 2 * PAGE.margin;

export const INK = { text: '#1c2329', quiet: '#5b6770', line: '#c3cbd1', fill: '#eef1f3', data: '#12617d', second: '#9a5b00', alarm: '#b3261e', band: '#f6d9d6' } as const;

const require = createRequire(import.meta.url);
const face = (weight: number): Buffer => readFileSync(require.resolve(`@fontsource/encode-sans/files/encode-sans-latin-${weight}-normal.woff`));

export interface SheetOptions {
  readonly title: string;
  readonly subject: string;
  /** Stands in the file as its date; part of what makes its bytes reproducible. */
  readonly dateMs: number;
  /** At the foot of every page. */
  readonly foot: string;
  /** Across the top of every page, for a drill or a replay. */
  readonly banner: string | null;
  readonly language: Language;
  readonly pageOf: (page: string, count: string) => string;
}

export interface Column {
  readonly head: string;
  readonly width: number;
  readonly align?: 'left' | 'right';
}

/** A flowing document of headings, paragraphs, tables and drawings. Fonts are embedded; the same calls give the same bytes. */
export class Sheet {
  readonly pdf: PDFKit.PDFDocument;
  readonly #options: SheetOptions;

  constructor(options: SheetOptions) {
    this.#options = options;
    const date = new Date(options.dateMs);
    this.pdf = new PDFDocument({ size: [PAGE.width, PAGE.height], margins: { top: PAGE.margin, bottom: PAGE.bottom, left: PAGE.margin, right: PAGE.margin }, bufferPages: true, font: '', lang: options.language, info: { Title: options.title, Subject: options.subject, Creator: 'Potside', Producer: 'Potside', CreationDate: date, ModDate: date } });
    this.pdf.registerFont('plain', face(400));
    this.pdf.registerFont('strong', face(600));
    this.pdf.font('plain').fontSize(9).fillColor(INK.text);
    this.#drawBanner();
    this.pdf.on('pageAdded', () => this.#drawBanner());
  }

  get y(): number {
    return this.pdf.y;
  }

  set y(y: number) {
    this.pdf.x = PAGE.margin;
    this.pdf.y = y;
  }

  /** Goes on to a new page where less than this is left. */
  need(height: number): void {
    if (this.pdf.y + height > PAGE.height - PAGE.bottom) this.newPage();
  }

  newPage(): void {
    this.pdf.addPage();
    this.y = PAGE.margin;
  }

  title(text: string, under: string): void {
    this.pdf.font('strong').fontSize(20).fillColor(INK.text).text(printable(text), PAGE.margin, this.pdf.y);
    this.pdf.font('plain').fontSize(10).fillColor(INK.quiet).text(printable(under));
    this.#gap(8);
  }

  heading(text: string, keepWith = 60): void {
    this.need(30 + keepWith);
    this.#gap(8);
    this.pdf.font('strong').fontSize(12).fillColor(INK.text).text(printable(text), PAGE.margin, this.pdf.y);
    this.#gap(3);
  }

  paragraph(text: string, how: { readonly quiet?: boolean; readonly strong?: boolean; readonly colour?: string; readonly size?: number } = {}): void {
    const written = printable(text);
    this.pdf.font(how.strong ? 'strong' : 'plain').fontSize(how.size ?? 9);
    this.need(this.pdf.heightOfString(written, { width: WIDTH }));
    this.pdf.fillColor(how.colour ?? (how.quiet ? INK.quiet : INK.text)).text(written, PAGE.margin, this.pdf.y, { width: WIDTH });
    this.#gap(3);
  }

  /** Words in a box of their own. */
  box(text: string, colour: string = INK.text): void {
    const written = printable(text);
    this.pdf.font('plain').fontSize(9);
    const height = this.pdf.heightOfString(written, { width: WIDTH - 20 }) + 14;
    this.need(height + 8);
    const top = this.pdf.y;
    this.pdf.rect(PAGE.margin, top, WIDTH, height).fillAndStroke(INK.fill, INK.line);
    this.pdf.fillColor(colour).text(written, PAGE.margin + 10, top + 7, { width: WIDTH - 20 });
    this.y = top + height + 8;
  }

  /** A table that goes on over pages, its head again on each. */
  table(columns: readonly Column[], rows: readonly (readonly string[])[]): void {
    const scale = WIDTH / columns.reduce((sum, { width }) => sum + width, 0);
    const widths = columns.map(({ width }) => width * scale);
    const draw = (cells: readonly string[], isHead: boolean): void => {
      const written = cells.map(printable);
      this.pdf.font(isHead ? 'strong' : 'plain').fontSize(8);
      const height = Math.max(...written.map((cell, index) => this.pdf.heightOfString(cell === '' ? ' ' : cell, { width: (widths[index] ?? 0) - 6 }))) + 5;
      if (!isHead && this.pdf.y + height > PAGE.height - PAGE.bottom) {
        this.newPage();
        draw(columns.map(({ head }) => head), true);
        this.pdf.font('plain').fontSize(8);
      }
      const top = this.pdf.y;
      let left: number = PAGE.margin;
      written.forEach((cell, index) => {
        const width = widths[index] ?? 0;
        this.pdf.fillColor(isHead ? INK.quiet : INK.text).text(cell, left, top + 2, { width: width - 6, align: columns[index]?.align ?? 'left' });
        left += width;
      });
      this.y = top + height;
      this.pdf.moveTo(PAGE.margin, this.pdf.y - 1).lineTo(PAGE.margin + WIDTH, this.pdf.y - 1).lineWidth(isHead ? 0.8 : 0.3).stroke(INK.line);
    };
    this.need(40);
    draw(columns.map(({ head }) => head), true);
    for (const row of rows) draw(row, false);
    this.#gap(4);
  }

  /** Names and values in two pairs of columns. */
  facts(pairs: readonly (readonly [name: string, value: string])[]): void {
    const half = WIDTH / 2;
    for (let index = 0; index < pairs.length; index += 2) {
      const row = [pairs[index], pairs[index + 1]].filter((pair) => pair !== undefined);
      this.pdf.font('strong').fontSize(9);
      const values = row.map(([, value]) => this.pdf.heightOfString(printable(value) || ' ', { width: half - 118 }));
      const names = row.map(([name]) => this.pdf.font('plain').heightOfString(printable(name), { width: 108 }));
      const height = Math.max(...values, ...names) + 3;
      this.need(height);
      const top = this.pdf.y;
      row.forEach(([name, value], place) => {
        const left = PAGE.margin + place * half;
        this.pdf.font('plain').fillColor(INK.quiet).text(printable(name), left, top, { width: 108 });
        this.pdf.font('strong').fillColor(INK.text).text(printable(value), left + 110, top, { width: half - 118 });
      });
      this.y = top + height;
    }
    this.#gap(4);
  }

  /** Ends the document and answers with its bytes. */
  async finish(): Promise<Uint8Array> {
    const { start, count } = this.pdf.bufferedPageRange();
    for (let page = start; page < start + count; page += 1) {
      this.pdf.switchToPage(page);
      this.pdf.page.margins.bottom = 0;
      this.pdf.font('plain').fontSize(7).fillColor(INK.quiet);
      this.pdf.text(printable(this.#options.foot), PAGE.margin, PAGE.height - 46, { width: WIDTH - 60, lineBreak: true });
      this.pdf.text(this.#options.pageOf(String(page - start + 1), String(count)), PAGE.margin, PAGE.height - 46, { width: WIDTH, align: 'right', lineBreak: false });
    }
    const chunks: Uint8Array[] = [];
    const done = new Promise<Uint8Array>((resolve, reject) => {
      this.pdf.on('data', (chunk: Uint8Array) => chunks.push(chunk));
      this.pdf.on('end', () => resolve(new Uint8Array(Buffer.concat(chunks))));
      this.pdf.on('error', reject);
    });
    this.pdf.end();
    return done;
  }

  #gap(height: number): void {
    this.y = this.pdf.y + height;
  }

  #drawBanner(): void {
    const { banner } = this.#options;
    if (banner === null) return;
    this.pdf.save().rect(0, 0, PAGE.width, 26).fill(INK.alarm).restore();
    this.pdf.font('strong').fontSize(11).fillColor('#ffffff').text(printable(banner), PAGE.margin, 8, { width: WIDTH, align: 'center', lineBreak: false });
    this.pdf.font('plain').fontSize(9).fillColor(INK.text);
    this.y = PAGE.margin;
  }
}

/** The typeface has Latin letters and the usual signs; of others the base letter is printed, or a dot. The record itself has every letter. */
function printable(text: string): string {
  return text.replaceAll(/[^\n\u0020-\u007e\u00a0-\u00ff\u0131\u0152\u0153\u02c6\u02dc\u2013\u2014\u2018-\u201e\u2022\u2026\u20ac\u2122\u2212]/gu, (sign) => REPLACED[sign] ?? (sign.normalize('NFKD').replaceAll(/[^\u0020-\u007e]/g, '') || '·'));
}

const REPLACED: Readonly<Record<string, string>> = { '≤': '<=', '≥': '>=', '₂': '2', '→': '->', 'ł': 'l', 'Ł': 'L', 'đ': 'd', 'Đ': 'D', '\t': ' ', '\r': '' };
