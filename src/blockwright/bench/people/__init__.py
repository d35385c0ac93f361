"""The people at the bench in shop mode: who they are, how they say so, and what they may do.

| module | subject |
| --- | --- |
| `acting` | who acts in a request: by token, or by session |
| `sessions` | signing in and out, by password or by PIN, and the end of what nobody uses |
| `passwords`, `pin` | what is asked of a password and of a PIN; setting and checking them |
| `tries` | too many tries in a while are refused |
| `codes` | codes that work once: to join, to pair a tablet |
| `tablets` | paired tablets |
| `tokens` | tokens for other programs |
| `hands` | taking somebody on, letting him go, his seats |
| `views`, `signing`, `switching`, `shop`, `devices` | the pages |
"""
