// A socket that comes back by itself after the server was away.

const FIRST = 300;
const LONGEST = 5000;

export interface Handlers {
  /** A message of the server, JSON already read. */
  message?: (told: unknown) => void;
  /** Bytes of the server. */
  bytes?: (data: ArrayBuffer) => void;
  /** The socket is open, for the first time or again. */
  open?: (again: boolean) => void;
  /** The socket is closed and will be tried again. */
  away?: () => void;
}

/** A socket to `path` of this server that is opened again until it is closed by `close`. */
export class Socket {
  private socket: WebSocket | null = null;
  private wait = FIRST;
  private opened = false;
  private closed = false;
  private timer = 0;

  constructor(
    private readonly path: string,
    private readonly handlers: Handlers,
  ) {
    this.connect();
  }

  /** Send `message` as JSON; false where the socket is not open. */
  send(message: unknown): boolean {
    if (this.socket?.readyState !== WebSocket.OPEN) return false;
    this.socket.send(JSON.stringify(message));
    return true;
  }

  close(): void {
    this.closed = true;
    window.clearTimeout(this.timer);
    this.socket?.close();
  }

  private connect(): void {
    const scheme = location.protocol === "https:" ? "wss" : "ws";
    const socket = new WebSocket(`${scheme}://${location.host}${this.path}`);
    socket.binaryType = "arraybuffer";
    socket.onopen = () => {
      this.wait = FIRST;
      this.handlers.open?.(this.opened);
      this.opened = true;
    };
    socket.onmessage = (event: MessageEvent<unknown>) => {
      if (event.data instanceof ArrayBuffer) this.handlers.bytes?.(event.data);
      else this.handlers.message?.(JSON.parse(String(event.data)));
    };
    socket.onclose = () => {
      if (this.closed) return;
      this.handlers.away?.();
      this.timer = window.setTimeout(() => this.connect(), this.wait);
      this.wait = Math.min(this.wait * 2, LONGEST);
    };
    this.socket = socket;
  }
}
