/** Messages an edge node sends about itself (N) and its devices (D), and the commands it is sent. */
const TYPES = ['NBIRTH', 'NDATA', 'NDEATH', 'DBIRTH', 'DDATA', 'DDEATH', 'NCMD', 'DCMD'] as const;
export type SparkplugType = (typeof TYPES)[number];

export interface SparkplugTopic {
  /** `<group>/<edge node>` */
  readonly node: string;
  /** Empty for the edge node itself. */
  readonly device: string;
  readonly type: SparkplugType;
}

const NAMESPACE = 'spBv1.0';

/** Reads `spBv1.0/<group>/<type>/<edge node>[/<device>]` (Sparkplug 3.0 §4.1); null where it is none. */
export function parseSparkplugTopic(topic: string): SparkplugTopic | null {
  const [namespace, group, type, edge, device = '', ...more] = topic.split('/');
  const known = TYPES.find((name) => name === type);
  if (namespace !== NAMESPACE || !group || !edge || !known || more.length > 0) return null;
  return known.startsWith('D') === (device !== '') ? { node: `${group}/${edge}`, device, type: known } : null;
}

/** What to subscribe to for one edge node. The devices all count: its messages have one sequence. */
export function sparkplugFilters(node: string): string[] {
  const of = (type: SparkplugType): string => sparkplugTopic(node, type);
  return [of('NBIRTH'), of('NDATA'), of('NDEATH'), `${of('DBIRTH')}/+`, `${of('DDATA')}/+`, `${of('DDEATH')}/+`];
}

/** The topic of one of an edge node's own messages, or of a command to it. */
export function sparkplugTopic(node: string, type: SparkplugType): string {
  const [group = '', edge = ''] = node.split('/');
  return `${NAMESPACE}/${group}/${type}/${edge}`;
}
