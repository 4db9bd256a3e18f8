Attribute VB_Name = "Threadwright"
' Threadwright in Excel: user functions for cells, and one request for a whole column.
' File, Import File in the editor (Alt+F11). Then in a cell:
'   =THREADWRIGHT_LIMIT("M24x1.5-6g", "pitch_diameter.max", "mm")
'   =THREADWRIGHT_READING(B7, "aim", "mm")
'   =THREADWRIGHT("job-sheet", A2:B20, "time.lot.cost")      keys left, values right
' A refusal comes back as the service's own line, which begins with #ERR.
' Str and Val are used since their locale-aware cousins would write 10,5 and read 9.026 as 9026.
' ServerXMLHTTP is used since XMLHTTP keeps old answers. Windows only.

Option Explicit

Private Const ADDRESS As String = "http://127.0.0.1:8000"
Private Const CONNECT_MS As Long = 3000
Private Const ANSWER_MS As Long = 30000

' Any value of any operation. keys: a range of two columns, or text such as "value=42&scale=HRC".
Public Function THREADWRIGHT(operation As String, keys As Variant, field As String) As Variant
    Dim query As String
    If TypeName(keys) = "Range" Then query = QueryOf(keys) Else query = keys
    THREADWRIGHT = ValueOf(Fetch(operation, query & "&field=" & field))
End Function

' A limit of size, such as "pitch_diameter.max" or "major_diameter.min".
Public Function THREADWRIGHT_LIMIT(callout As String, field As String, Optional unit As String) As Variant
    THREADWRIGHT_LIMIT = ValueOf(Fetch("thread-limits", ThreadOf(callout, unit) & "&field=limits." & field))
End Function

' The reading over the best wires or between the best balls: "max", "min" or "aim".
Public Function THREADWRIGHT_READING(callout As String, which As String, Optional unit As String) As Variant
    THREADWRIGHT_READING = ValueOf(Fetch("wire-measurement", ThreadOf(callout, unit) & "&field=reading." & which))
End Function

' The pitch diameter that a reading over the best wires means.
Public Function THREADWRIGHT_PITCH_DIAMETER(callout As String, reading As Double, unit As String) As Variant
    THREADWRIGHT_PITCH_DIAMETER = ValueOf(Fetch("wire-measurement", ThreadOf(callout, unit) & _
        "&measured=" & Trim$(Str$(reading)) & "&field=pitch_diameter"))
End Function

' Hardness on another scale.
Public Function THREADWRIGHT_HARDNESS(value As Double, scale_ As String, wanted As String) As Variant
    THREADWRIGHT_HARDNESS = ValueOf(Fetch("hardness", "value=" & Trim$(Str$(value)) & _
        "&scale=" & scale_ & "&to=" & wanted & "&field=value"))
End Function

' Limits and readings of the selected call-outs, in one request, as the table the service answers:
' a new sheet with one row a call-out, and the error of each that was refused.
Public Sub ThreadwrightFillSelection()
    Dim cell As Range, items As String
    For Each cell In Selection.Cells
        If Len(cell.Text) > 0 Then
            If Len(items) > 0 Then items = items & ","
            items = items & "{""id"":" & Quoted(cell.Address(False, False)) & _
                ",""operation"":""wire-measurement"",""params"":{""designation"":" & Quoted(cell.Text) & "}}"
        End If
    Next cell
    If Len(items) = 0 Then Exit Sub
    WriteTable SendText("POST", BaseAddress() & "/v1/batch?format=csv", "{""items"":[" & items & "]}")
End Sub

Private Function ThreadOf(callout As String, unit As String) As String
    ThreadOf = "designation=" & WorksheetFunction.EncodeURL(callout)
    If Len(unit) > 0 Then ThreadOf = ThreadOf & "&unit=" & unit
End Function

Private Function QueryOf(cells_ As Variant) As String
    Dim row As Long, part As String, query As String
    For row = 1 To cells_.Rows.Count
        If Not IsEmpty(cells_.Cells(row, 2).Value2) Then
            If VarType(cells_.Cells(row, 2).Value2) = vbString Then
                part = WorksheetFunction.EncodeURL(cells_.Cells(row, 2).Value2)
            Else
                part = Trim$(Str$(cells_.Cells(row, 2).Value2))
            End If
            If Len(query) > 0 Then query = query & "&"
            query = query & cells_.Cells(row, 1).Value2 & "=" & part
        End If
    Next row
    QueryOf = query
End Function

Private Function Fetch(operation As String, query As String) As String
    Fetch = SendText("GET", BaseAddress() & "/v1/" & operation & "?" & query & "&on_error=text", "")
End Function

' The body of the answer, of a refusal too; a line of its own where no answer came.
Private Function SendText(method As String, url As String, body As String) As String
    Dim request As Object
    On Error GoTo NoAnswer
    Set request = CreateObject("MSXML2.ServerXMLHTTP.6.0")
    request.setTimeouts CONNECT_MS, CONNECT_MS, ANSWER_MS, ANSWER_MS
    request.Open method, url, False
    If Len(body) > 0 Then request.setRequestHeader "Content-Type", "application/json"
    request.send body
    SendText = request.responseText
    Exit Function
NoAnswer:
    SendText = "#ERR no answer from " & url & ": " & Err.Description
End Function

' The cell named base_address of this workbook, or the constant above.
Private Function BaseAddress() As String
    BaseAddress = ADDRESS
    On Error Resume Next
    BaseAddress = ThisWorkbook.Names("base_address").RefersToRange.Value2
    If Right$(BaseAddress, 1) = "/" Then BaseAddress = Left$(BaseAddress, Len(BaseAddress) - 1)
End Function

' A number where the whole text is one; Val alone would make 0 of an error.
Private Function ValueOf(text As String) As Variant
    Dim place As Long
    ValueOf = text
    If Len(text) = 0 Then Exit Function
    For place = 1 To Len(text)
        If InStr("0123456789.-", Mid$(text, place, 1)) = 0 Then Exit Function
    Next place
    ValueOf = Val(text)
End Function

' JSON text. A call-out holds neither control characters nor letters beyond the basic plane.
Private Function Quoted(text As String) As String
    Quoted = """" & Replace(Replace(text, "\", "\\"), """", "\""") & """"
End Function

' A CSV text on a new sheet; every field with a point stays the number it is, in any language.
Private Sub WriteTable(text As String)
    Dim lines() As String, fields As Collection, row As Long, column As Long, sheet As Worksheet
    Set sheet = Worksheets.Add
    lines = Split(Replace(text, vbCr, ""), vbLf)
    For row = 0 To UBound(lines)
        Set fields = FieldsOf(lines(row))
        For column = 1 To fields.Count
            sheet.Cells(row + 1, column).Value2 = ValueOf(fields(column))
        Next column
    Next row
End Sub

Private Function FieldsOf(line As String) As Collection
    Dim fields As New Collection, place As Long, letter As String, field As String, inside As Boolean
    For place = 1 To Len(line)
        letter = Mid$(line, place, 1)
        If letter = """" Then
            If inside And Mid$(line, place + 1, 1) = """" Then
                field = field & """"
                place = place + 1
            Else
                inside = Not inside
            End If
        ElseIf letter = "," And Not inside Then
            fields.Add field
            field = ""
        Else
            field = field & letter
        End If
    Next place
    fields.Add field
    Set FieldsOf = fields
End Function
