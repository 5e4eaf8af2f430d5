import type { Words } from './en.ts';

/** The trace viewer. */
export const trace: Words['shifts']['trace'] = {
  panels: {
    pressure: 'Presión', co: 'Monóxido de carbono', breathing: 'Presión de aire respirable', loss: 'Pérdida, máquina a boquilla', steel: 'Acero sobre punto de rocío',
    dew: 'Punto de rocío del aire de línea', humidity: 'Humedad',
  },
  alarms: 'Alarmas',
  alarmCount: (seen, all) => (all === 0 ? 'ninguna en este turno' : seen === all ? `${all} en este turno` : `${seen} de ${all} aquí`),
  alarmBand: (priority, title, from, to) => `${priority}: ${title}, ${from} ${to === null ? 'y sigue activa' : `a ${to}`}`,
  marks: 'De la gente',
  markLegend: 'N nota, M a mano, E entrega',
  markLetters: { note: 'N', entry: 'M', handover: 'E' },
  markKinds: { note: 'Nota', entry: 'A mano', handover: 'Entrega' },
  earlier: 'Antes',
  later: 'Después',
  closer: 'Más cerca',
  wider: 'Más ancho',
  whole: 'Turno entero',
  renew: 'Hasta ahora',
  noteHere: 'Nota aquí',
  moves: 'Mover el tramo',
  zone: 'Hora de',
  zones: { site: (zone) => `Obra, ${zone.split('/').at(-1)?.replaceAll('_', ' ') ?? zone}`, utc: 'UTC', device: 'Este aparato' },
  noCursor: 'Señale la gráfica para leerla.',
  seen: (from, to, length) => `${from} a ${to}, ${length}`,
  nothingHere: 'sin valor',
  late: 'tarde',
  erased: 'borrado, se cumplió su plazo de guarda',
  legend: 'Sombreado: chorreando. Rayado: no se registró nada, o se borró. Marcas al pie: llegó tarde, tras un corte. Punteado: límite o banda deseada.',
  hint: 'Arrastre para mover, Ctrl y rueda o dos dedos para acercar y alejar, Mayús y arrastrar para marcar un tramo. Teclas: ← → + − 0, RePág y AvPág, N para una nota.',
  keysAbout: 'Gráficas. Las flechas mueven el cursor, más y menos acercan y alejan, 0 muestra el turno entero, N escribe una nota en el cursor.',
};
