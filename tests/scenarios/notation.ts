/**
 * Alarm stories as text. One line, one thing:
 *
 *   scenario NAME
 *   setting ALARM limit 8ppm, on-delay 10s | regime EN | rigs 4 | respirator 40psi..90psi | flood starts-above 3
 *   from 0 s to 60 s every 1 s reading [RIG] POINT VALUE [to VALUE | wave SIZE]
 *   at 10 s reading [RIG] POINT VALUE | nothing | over range | doubtful VALUE
 *   at 10 s shift starts [on RIG] | hood in NAME | hood out NAME | bump test 5 min | bump test record passed|failed | calibration record due in 5 h | entry KIND [VALUE] | clock jumps 5 s | quarantined WHAT | lost PATH | back PATH
 *   at 10 s acknowledge ALARM by ROLE [at the rig] | confirm out … | reset … | unshelve … | in service …
 *   at 10 s shelve ALARM for 30 min by ROLE | out of service ALARM for 2 h approved by NAME by ROLE
 *   at 10 s refused ACTION
 *   at 10 s restart
 *   at 10 s expect ALARM STATE | no ALARM | nothing | …
 *
 * A `#` begins a remark. An alarm is its name, with ` on RIG` where it is not rig-a's.
 */
export interface Story {
  readonly name: string;
  readonly file: string;
  readonly line: number;
  readonly settings: readonly string[];
  readonly steps: readonly Step[];
}

export interface Step {
  readonly atMs: number;
  readonly line: number;
  readonly text: string;
}

const UNIT_MS: Readonly<Record<string, number>> = { ms: 1, s: 1000, min: 60_000, h: 3_600_000 };

export function parseTime(text: string): number {
  const [, amount, unit] = /^(\d+(?:\.\d+)?) ?(ms|s|min|h)$/.exec(text.trim()) ?? [];
  const factor = UNIT_MS[unit ?? ''];
  if (amount === undefined || factor === undefined) throw new Error(`not a time: ${JSON.stringify(text)}`);
  return Math.round(Number(amount) * factor);
}

export function parseStories(file: string, text: string): Story[] {
  const stories: { name: string; file: string; line: number; settings: string[]; steps: Step[] }[] = [];
  text.split('\n').forEach((raw, index) => {
    const line = index + 1;
    const said = raw.replace(/#.*$/, '').trim();
    if (said === '') return;
    const story = stories.at(-1);
    const fail = (why: string): never => {
      throw new Error(`${file}:${line}: ${why}: ${said}`);
    };
    if (said.startsWith('scenario ')) stories.push({ name: said.slice(9), file, line, settings: [], steps: [] });
    else if (!story) fail('a line before the first scenario');
    else if (said.startsWith('setting ')) story.settings.push(said.slice(8));
    else if (said.startsWith('from ')) story.steps.push(...expand(said, line, fail));
    else {
      const [, time = '', rest = ''] = /^at (\S+ ?(?:ms|s|min|h)) (.+)$/.exec(said) ?? fail('not understood');
      story.steps.push({ atMs: parseTime(time), line, text: rest });
    }
  });
  // What is written first comes first, at one and the same time.
  return stories.map((story) => ({ ...story, steps: story.steps.toSorted((a, b) => a.atMs - b.atMs || a.line - b.line) }));
}

const FROM = /^from (.+?) to (.+?) every (.+?) reading (.+?) (-?[\d.]+|nothing|held|released)(?: (to|wave) (-?[\d.]+))?$/;

function expand(said: string, line: number, fail: (why: string) => never): Step[] {
  const [, from = '', to = '', every = '', point = '', value = '', how, size = '0'] = FROM.exec(said) ?? fail('not understood');
  const [fromMs, toMs, everyMs] = [parseTime(from), parseTime(to), parseTime(every)];
  const steps: Step[] = [];
  for (let atMs = fromMs; atMs < toMs; atMs += everyMs) {
    const share = (atMs - fromMs) / (toMs - fromMs);
    const now = how === 'to' ? Number(value) + (Number(size) - Number(value)) * share : how === 'wave' ? Number(value) + Number(size) * Math.sin(atMs / 7000) : null;
    steps.push({ atMs, line, text: `reading ${point} ${now === null ? value : Math.round(now * 10) / 10}` });
  }
  return steps;
}
