package templates
import ("testing";"os")
func TestTry(t *testing.T){
 b,err:=Markdown(sample(), []Figure{{"section-upper","Section of group upper.","alt [x]"},{"plan","Plan.","p"},{"speed","S.","s"}})
 if err!=nil {t.Fatal(err)}
 os.WriteFile("/tmp/out.md",b,0o644)
}
