import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

/** Colours are judged from the style sheet itself, by WCAG's contrast and CIE lightness. */
const css = readFileSync(new URL('../../dashboard/ui/theme.css', import.meta.url), 'utf8');

function readTheme(selector: string): Record<string, string> {
  const block = css.split(`${selector} {`)[1]?.split('}')[0] ?? '';
  return Object.fromEntries([...block.matchAll(/--([\w-]+):\s*([^;]+);/g)].map((m) => [m[1] as string, (m[2] as string).trim()]));
}

const light = readTheme(':root');
const THEMES = { light, dark: { ...light, ...readTheme(":root[data-theme='dark']") }, sun: { ...light, ...readTheme(":root[data-theme='sun']") } };

function luminance(hex: string): number {
  if (!/^#[0-9a-f]{6}$/i.test(hex)) throw new Error(`not a plain colour: ${hex}`);
  const [r = 0, g = 0, b = 0] = [1, 3, 5].map((i) => Number.parseInt(hex.slice(i, i + 2), 16) / 255).map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4));
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

function contrast(a: string, b: string): number {
  const [x, y] = [luminance(a), luminance(b)];
  return (Math.max(x, y) + 0.05) / (Math.min(x, y) + 0.05);
}

const lightness = (hex: string): number => {
  const y = luminance(hex);
  return y > 0.008856 ? 116 * Math.cbrt(y) - 16 : 903.3 * y;
};

function saturation(hex: string): number {
  const channels = [1, 3, 5].map((i) => Number.parseInt(hex.slice(i, i + 2), 16));
  return (Math.max(...channels) - Math.min(...channels)) / 255;
}

describe.each(Object.entries(THEMES))('theme %s', (name, theme) => {
  const need = (key: string): string => theme[key] as string;
  const least = name === 'sun' ? 7 : 4.5;

  it('has text that can be read on each of its grounds', () => {
    for (const ground of ['paper', 'paper-demo', 'paper-raised']) {
      expect(contrast(need('ink'), need(ground)), `ink on ${ground}`).toBeGreaterThanOrEqual(7);
      expect(contrast(need('ink-soft'), need(ground)), `ink-soft on ${ground}`).toBeGreaterThanOrEqual(least);
    }
    for (const priority of ['critical', 'high', 'medium', 'low']) {
      expect(contrast(need(`on-${priority}`), need(priority)), priority).toBeGreaterThanOrEqual(least);
    }
  });

  it('keeps priorities apart in greyscale', () => {
    const steps = ['critical', 'high', 'medium', 'low'].map((p) => lightness(need(p))).sort((a, b) => a - b);
    steps.slice(1).forEach((l, i) => expect(l - (steps[i] as number), steps.join(' ')).toBeGreaterThanOrEqual(name === 'light' ? 20 : 17));
  });

  it('is grey while nothing is wrong', () => {
    for (const key of ['paper', 'paper-demo', 'paper-raised', 'ink', 'ink-soft', 'rule', 'wanted', 'hatch']) {
      expect(saturation(need(key)), key).toBeLessThanOrEqual(0.06);
    }
  });
});

it('has no flash as fast as three a second, and none for those who want no motion', () => {
  const alarm = readFileSync(new URL('../../dashboard/ui/alarm.css', import.meta.url), 'utf8');
  const periods = [...alarm.matchAll(/animation: flash (\d+)ms/g)].map((m) => Number(m[1]));
  expect(periods.length).toBeGreaterThan(0);
  for (const period of periods) expect(1000 / period).toBeLessThanOrEqual(2.8);
  expect(alarm).toMatch(/prefers-reduced-motion: reduce\)\s*{\s*\.alarm\[data-unacknowledged\]::after\s*{\s*animation: none !important/);
});
