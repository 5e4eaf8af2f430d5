/** What a push, a mail or a webhook says around the alarm's own sentences. */
export const notices = {
  /** The locale in which days and times are told. */
  dates: 'en-GB',
  value: (value: string, limit: string) => `${value}, limit ${limit}`,
  first: (response: string) => `First: ${response}`,
  within: (time: string) => `Within: ${time}`,
  several: (n: string) => `${n} alarms at once`,
  andMore: (n: string) => `and ${n} more`,
  testTitle: 'This is a test, nothing has happened',
  testLine: (by: string, time: string) => `Asked for by ${by}, ${time}. Whoever gets this is on the plan.`,
  sealTitle: (shift: string) => `Shift ${shift} sealed`,
  training: (title: string) => `Training: ${title}`,
  sealed: (shift: string, rig: string, day: string) => `The record of shift ${shift} of ${rig} was sealed, ${day}. Nothing has to be done.`,
  trainingLine: 'Training: nothing in this shift happened for real.',
  signed: (name: string, role: string, meaning: string, day: string) => `Signed by ${name}, ${role}: ${meaning}, ${day}`,
  root: (root: string) => `Root: ${root}`,
  key: (key: string) => `Key: ${key}`,
  keep: 'Keep this message: whoever checks the record.zip of this shift later with potside verify must find the same root and key in it, else it is not the record that was sealed.',
  test: (title: string) => `Test: ${title}`,
  takeIt: (link: string) => `Take it: ${link}`,
  theShift: (link: string) => `The shift: ${link}`,
  advice: 'Potside monitors and advises. It is no substitute for the CO alarm, the deadman or a competent person.',
};
