/** Words of a training site. */
export const drill = {
  band: 'Drill: nothing here is real',
  none: 'Training site. Every reading and every alarm on it is for practice.',
  running: (scenario: string, by: string, clock: string) => `Playing ${scenario.replaceAll('-', ' ')}, started by ${by} at ${clock}.`,
  open: 'Drills',
  title: 'Practise',
  about: 'What you choose is played on this training site’s rigs from now on, for everybody who looks at it.',
  start: 'Start',
  end: (scenario: string) => `End ${scenario.replaceAll('-', ' ')}`,
  duty: 'A drill is no substitute for training on the equipment itself, nor for the CO alarm, the deadman or a competent person.',
};
