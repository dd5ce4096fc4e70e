// The connection to the program: messages are numbered, so that a picture says which of them it already shows.

export class Line {
  constructor(heard, guest, state) {
    this.heard = heard;
    this.only = guest ? ["move", "set", "show", "sheet", "survey"] : null; // what a guest may send, where the teacher lets them
    this.state = state;
    this.count = 0;
    this.tries = 0;
    this.open();
  }

  open() {
    const known = sessionStorage.getItem("tab") || "";
    const scheme = location.protocol === "https:" ? "wss" : "ws";
    this.socket = new WebSocket(`${scheme}://${location.host}/live?tab=${encodeURIComponent(known)}`);
    this.socket.onmessage = (event) => {
      const message = JSON.parse(event.data);
      if (message.kind === "tab") {
        this.tries = 0;
        this.tab = message.tab;
        sessionStorage.setItem("tab", message.tab);
        this.state(true);
        this.send("hello");
        return;
      }
      this.heard(message);
    };
    this.socket.onclose = () => {
      this.state(false);
      this.tries += 1;
      if (this.tries < 30) setTimeout(() => this.open(), Math.min(250 * this.tries, 3000));
    };
  }

  open_now() {
    return this.socket.readyState === WebSocket.OPEN;
  }

  send(what, fields = {}) {
    if (this.only && !this.only.includes(what)) return this.count;
    if (this.only && !document.body.classList.contains("may")) return this.count;
    this.count += 1;
    document.documentElement.dataset.sent = this.count;
    if (this.socket.readyState === WebSocket.OPEN) {
      this.socket.send(JSON.stringify({ do: what, n: this.count, ...fields }));
    }
    return this.count;
  }
}
