#!/usr/bin/env python3
"""A person's seat at the Windows program under Wine 8.

Wine 8's console knows no escape sequences: it takes them for text, counts them, and breaks the line
(CR LF) every COLS characters. What the program itself sends has neither CR LF nor `erase to the end of
line`, so both are Wine's and are left out here before a small screen reads the rest.
usage: seat.py DIR STEP... ; a step is  key:TEXT  press:KEY=>TEXT  see:TEXT  wait:SECONDS  show  kill
"""
import os, pty, re, sys, time, select, struct, fcntl, termios, signal
COLS, ROWS = 80, 24
class Screen:
    def __init__(s): s.c=[[' ']*COLS for _ in range(ROWS)]; s.x=s.y=0; s.rest=b''; s.row=bytearray(); s.again=None; s.text_rest=b''
    def unwine(s, data):
        # A lone CR begins a row anew, from its start: what was there already is left out.
        out=bytearray()
        for b in data:
            if b==10: s.row.clear(); s.again=None
            elif b==13: s.again=0
            elif s.again is not None and s.again<len(s.row) and b==s.row[s.again]: s.again+=1
            else:
                if s.again is not None: del s.row[s.again:]; s.again=None
                s.row.append(b); out.append(b)
        return bytes(out)
    def feed(s, data):
        data=s.rest+data
        # keep an unfinished tail
        m=re.search(rb'(\x1b(\[[0-9;?]*)?|\r+)$', data)
        s.rest=b''
        if m and m.group(0): s.rest=data[m.start():]; data=data[:m.start()]
        data=re.sub(rb'\r+\n', b'\n', data)
        data=re.sub(rb'\x1b\[(K|\?25[hl])', b'', data)
        data=s.text_rest+s.unwine(data); s.text_rest=b''
        m=re.search(rb'(\x1b(\[[0-9;?]*)?|[\xc0-\xff][\x80-\xbf]{0,2})$', data)
        if m and not (m.group(0)[0]>=0xc0 and len(m.group(0))==3 and m.group(0)[0]<0xf0):
            s.text_rest=data[m.start():]; data=data[:m.start()]
        t=data.decode('utf-8','replace'); i=0
        while i<len(t):
            ch=t[i]
            if ch=='\x1b':
                m=re.match(r'\x1b\[([0-9;?]*)([A-Za-z])', t[i:])
                if m:
                    a,k=m.groups(); n=[int(p) if p.isdigit() else 0 for p in a.split(';')]
                    if k in 'Hf': s.y=max(1,n[0])-1; s.x=(max(1,n[1])-1 if len(n)>1 else 0)
                    elif k=='J': s.c=[[' ']*COLS for _ in range(ROWS)]
                    elif k=='C': s.x+=max(1,n[0])
                    i+=m.end(); continue
                i+=1; continue
            if ch=='\r': s.x=0
            elif ch=='\n': s.y+=1
            elif ch=='\b': s.x-=1
            elif ch>=' ':
                if 0<=s.y<ROWS and 0<=s.x<COLS: s.c[s.y][s.x]=ch
                s.x+=1
            i+=1
    def text(s): return '\n'.join(''.join(r).rstrip() for r in s.c)
def main():
    d=sys.argv[1]; words=[]; steps=sys.argv[2:]
    if '--' in steps: i=steps.index('--'); words=steps[:i]; steps=steps[i+1:]
    pid,fd=pty.fork()
    if pid==0:
        os.chdir(d); os.execvp('wine',['wine',os.environ['PACEBELL_EXE'],*words])
    fcntl.ioctl(fd,termios.TIOCSWINSZ,struct.pack('HHHH',ROWS,COLS,0,0))
    sc=Screen(); raw=open(os.environ.get('RAW','/dev/null'),'wb')
    def pump(sec, until=None):
        end=time.time()+sec
        while time.time()<end:
            r,_,_=select.select([fd],[],[],0.05)
            if r:
                try: b=os.read(fd,65536)
                except OSError: return until is None or until in sc.text()
                if not b: return
                raw.write(b); raw.flush(); sc.feed(b)
            if until and until in sc.text(): return True
        return until is None
    ok=True
    for st in steps:
        k,_,v=st.partition(':')
        if k=='see':
            if not pump(60,v): print('NOT SEEN: '+v); print(sc.text()); ok=False; break
        elif k=='key': os.write(fd,v.encode().decode('unicode_escape').encode('latin1')); pump(0.3)
        elif k=='press':
            # Wine's console loses keys: one goes again until the screen shows that it came.
            key,_,text=v.partition('=>')
            for _ in range(12):
                os.write(fd,key.encode().decode('unicode_escape').encode('latin1'))
                if pump(5,text): break
            else: print('NOT SEEN: '+text); print(sc.text()); ok=False; break
        elif k=='wait': pump(float(v))
        elif k=='show': pump(0.3); print(sc.text()); print('='*COLS)
        elif k=='kill': os.kill(pid,signal.SIGKILL)
    if ok: print('seen all')
    try: os.kill(pid,signal.SIGHUP)
    except ProcessLookupError: pass
    time.sleep(0.3)
    try: os.kill(pid,signal.SIGKILL)
    except ProcessLookupError: pass
    os.waitpid(pid,0); sys.exit(0 if ok else 1)
main()
