import type { Words } from './en.ts';

/** Words of a training site. Scenarios go by their names, which are the same in every language. */
export const drill: Words['drill'] = {
  band: 'Simulacro: aquí nada es real',
  none: 'Obra de entrenamiento. Cada lectura y cada alarma es para practicar.',
  running: (scenario, by, clock) => `En marcha: ${scenario.replaceAll('-', ' ')}, iniciado por ${by} a las ${clock}.`,
  open: 'Simulacros',
  title: 'Practicar',
  about: 'Lo que usted elija se juega desde ahora en los equipos de esta obra de entrenamiento, para todos los que miran.',
  start: 'Iniciar',
  end: (scenario) => `Terminar ${scenario.replaceAll('-', ' ')}`,
  duty: 'Un simulacro no reemplaza el entrenamiento en el propio equipo, ni la alarma de CO, el hombre muerto o una persona competente.',
};
